"""Orders of convergence, patch test, rotation invariance."""

from tests.verification.invariants import orders, patch_error, rotation_error


def test_patch_of_layered_plastic_is_exact() -> None:
    assert patch_error() < 1e-10


def test_turning_everything_turns_the_answer() -> None:
    assert rotation_error() < 1e-9


def test_orders_of_convergence() -> None:
    """Quadratic elements: third order in displacement, second in stress (L2)."""
    displacement, stress = orders()
    assert 2.8 < displacement < 3.3
    assert 1.8 < stress < 2.3
