"""Buckling of parts under their load cases: which case, with what mesh error, held how."""

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from refledge.errors import AnalysisError, BuildError
from refledge.geometry import kernel
from refledge.model.checks import Verdict
from refledge.model.results import TriMesh
from refledge.solids.blocks import brick_mesh
from refledge.solids.cases import FaceLoad, SolidCase, Support
from refledge.solids.figures import SolidResults
from refledge.solids.part import PrintedBody, solve_on
from refledge.solids.port import MeshSize
from refledge.typed import Floats
from refledge.verify import stability as module
from refledge.verify.cache import keep, load
from refledge.verify.results import BuckledShape, HotSpot, PartVerified
from refledge.verify.setup import ByHand, Setup
from refledge.verify.solid_checks import solid_checks
from refledge.verify.stability import stability
from tests.solids.arm_part import PETG

LONG, WIDE, HIGH = 0.08, 0.004, 0.008
END = np.array([LONG, 0.0, 0.0])
FACTOR: Mapping[str, float] = {"press": 2.0, "drop": 1.5, "pull": 2.0, "hang": 1.0}


def case(name: str, force: list[float], point: Floats = END, face: str = "x1") -> SolidCase:
    return SolidCase(name, (FaceLoad(face, np.array(force), point),))


CASES = (
    case("press", [-10.0, 0, 0]),
    case("drop", [-12.0, 0, 0]),
    case("pull", [9.0, 0, 0]),
)
SETUP = Setup(
    "block", {}, (Support(("x0",)),), CASES, MeshSize(4e-3), dict.fromkeys(FACTOR, "flight"),
    buckles=True,
)  # fmt: skip


def solved(cases: tuple[SolidCase, ...], held: str = "x0") -> SolidResults:
    """On two meshes without the mesher."""
    body: Any = {"block": PrintedBody(kernel.box((0, 0, 0), (1, 1, 1)), PETG, (0.0, 0.0, 1.0))}
    low, size = np.array([0.0, -WIDE / 2, -HIGH / 2]), np.array([LONG, WIDE, HIGH])
    coarse, fine = (
        solve_on(brick_mesh(counts, lambda p: low + p * size), body, (Support((held,)),), cases)
        for counts in ((10, 1, 1), (14, 2, 2))
    )
    return SolidResults(fine, (), (5.6e-3, 4e-3), (), coarse)


@pytest.fixture(scope="module")
def found() -> SolidResults:
    return solved(CASES)


def euler(length: float) -> float:
    """pi^2 E I / (4 L^2), N."""
    return float(np.pi**2 * PETG.E_xy * HIGH * WIDE**3 / 12 / (4 * length**2))


def test_the_worst_case_counts_its_factor_and_all_have_an_error(found: SolidResults) -> None:
    made = stability(SETUP, found, FACTOR)
    assert made is not None
    assert made.uses[:2] == pytest.approx(np.array([10.0, 12.0]) / euler(LONG), rel=0.02)
    assert made.uses[2] < 1e-3
    assert CASES[made.worst].name == "press"  # 10 N twice is more than 12 N one and a half times
    assert np.all(made.errors[:2] > 0)
    assert np.all(made.errors[:2] < 0.05 * made.uses[:2])
    sway = made.shape[found.finest.mesh.nodes[:, 0] > LONG - 1e-9, 1]
    assert np.abs(sway) == pytest.approx(np.ones(len(sway)), abs=0.05)


def test_a_mesh_that_changes_the_worst_changes_the_rest_as_much(
    found: SolidResults, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Coarse uses 0.1, 0.2, 0.4; of each factor the worst is found again a tenth greater."""

    class Solver:
        def __init__(self, _: Setup, run: Any) -> None:
            self.fine = run is found.finest

        def case(self, row: int) -> tuple[float, Floats]:
            assert not self.fine or row in (1, 2)
            return (0.1, 0.2, 0.4)[row] * (1.1 if self.fine else 1.0), np.zeros((2, 3))

    monkeypatch.setattr(module, "Solver", Solver)
    made = stability(SETUP, found, FACTOR)
    assert made is not None
    assert made.uses == pytest.approx([0.11, 0.22, 0.44])
    assert made.errors == pytest.approx(0.25 * np.array([0.1, 0.2, 0.4]))  # order 1, sizes 1.4
    assert made.worst == 2
    assert made.finer == pytest.approx([1.1, 1.1, 1.1])


def test_a_part_held_by_hand_is_the_same_bar_held_at_its_other_end() -> None:
    """A weight that stands on the root, the bar held upright by its tip, and the way round."""
    hang = case("hang", [-10.0, 0, 0])
    turned = replace(SETUP, cases=(hang,), by_hand={"hang": ByHand("x1", "x0", (0.0, 0.0, 0.0))})
    found = solved((hang,))
    plain = stability(replace(turned, by_hand={}), found, FACTOR)
    other = stability(turned, found, FACTOR)
    assert plain is not None
    assert other is not None
    assert other.uses == pytest.approx(plain.uses, rel=0.01)
    still = other.shape[found.finest.mesh.nodes[:, 0] > LONG - 1e-9]
    assert np.abs(still).max() == 0.0


@pytest.mark.parametrize(("x", "height"), [(-0.03, -0.03), (-0.03, 0.03), (-0.09, 0.02)])
def test_what_hangs_on_it_acts_at_its_own_place(x: float, height: float) -> None:
    """Held by its tip, lifted there and held by its root in the statics; or held by its tip in
    both, with a weight 30 mm beyond the root. A weight further out has a couple that makes up."""
    up = case("hang", [0.0, 0.0, 5.0], np.array([-0.03, 0.0, 0.0]))
    weight, at = np.array([0.0, 0.0, -5.0]), np.array([x, 0.0, height])
    couple = np.cross(np.array([-0.03, 0.0, height]) - at, weight)
    down = SolidCase("hang", (FaceLoad("x0", weight, at, couple),))
    hand = {"hang": ByHand("x1", "x0", (x, 0.0, height))}
    turned = stability(replace(SETUP, cases=(up,), by_hand=hand), solved((up,)), FACTOR)
    plain = stability(replace(SETUP, cases=(down,)), solved((down,), "x1"), FACTOR)
    assert turned is not None
    assert plain is not None
    assert turned.uses == pytest.approx(plain.uses, rel=0.03)


def test_a_part_that_is_not_looked_at_says_nothing(found: SolidResults) -> None:
    assert stability(replace(SETUP, buckles=False), found, FACTOR) is None


def test_a_search_that_fails_says_why(found: SolidResults, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(*_: object, **__: object) -> None:
        raise AnalysisError("did not converge")

    monkeypatch.setattr(module, "buckled", fails)
    made = stability(SETUP, found, FACTOR)
    assert made is not None
    assert made.why == "did not converge"
    assert np.isnan(made.uses).all()


def verified(use: float | None, error: float, why: str = "") -> PartVerified:
    spots = tuple(
        HotSpot(name, kind, 0.1, 0.01, 0.2, 0.1, 0.01, 0.2, (0, 0, 0), share, error)
        for name, kind, share in (("full thrust", "flight", 0.1), ("drop", "landing", use))
    )
    surface = TriMesh(np.zeros((3, 3)), np.array([[0, 1, 2]]))
    shape = BuckledShape("drop", np.ones((3, 3)), why)
    return PartVerified("leg", (), spots, 9, (2e-3, 1e-3), surface, np.zeros(3), "x", "", shape)


STUDY: Any = SimpleNamespace(
    brief=SimpleNamespace(limits=SimpleNamespace(flight_factor=2.0, landing_factor=1.25)),
    checks=(),
)


@pytest.mark.parametrize(
    ("use", "error", "why", "verdict"),
    [
        (0.5, 0.01, "", Verdict.HOLDS),
        (0.78, 0.01, "", Verdict.NARROWLY),
        (0.78, 0.03, "", Verdict.UNKNOWN),
        (0.9, 0.03, "", Verdict.FAILS),
        (None, 0.0, "did not converge", Verdict.UNKNOWN),
    ],
)
def test_the_check_says_what_mesh_error_and_factor_leave(
    use: float | None, error: float, why: str, verdict: Verdict, monkeypatch: pytest.MonkeyPatch
) -> None:
    plastic = SimpleNamespace(stiffness_spread=0.05, strength_spread=0.05, interlayer_spread=0.05)
    monkeypatch.setattr("refledge.verify.solid_checks.material_of", lambda *_: "ASA")
    study = SimpleNamespace(
        **vars(STUDY), frame=None, task=SimpleNamespace(materials={"ASA": plastic})
    )
    made = solid_checks(study, (verified(use, error, why),), ())  # type: ignore[arg-type]
    (check,) = [each for each in made if each.key == "solid-buckling-leg"]
    assert check.verdict is verdict
    assert check.capacity == (0.8 if use else 0.5)
    assert why in check.note if why else f"{1 / use:.2f} times the load" in check.note  # type: ignore[operator]


def test_an_arm_says_what_formulas_say(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of the same kind of load case; of tipping over in landings alone."""
    plastic = SimpleNamespace(stiffness_spread=0.05, strength_spread=0.05, interlayer_spread=0.05)
    monkeypatch.setattr("refledge.verify.solid_checks.material_of", lambda *_: "ASA")
    known = {"buckling-flight": 0.03, "buckling-rough": 0.12, "tipping": 0.55}
    study = SimpleNamespace(
        brief=STUDY.brief,
        checks=[SimpleNamespace(key=key, demand=demand) for key, demand in known.items()],
        frame=None, task=SimpleNamespace(materials={"ASA": plastic}),
    )  # fmt: skip
    for use, said in ((0.6, "of walls and bars 12%, of tipping over 55%"), (0.05, "bars 3%")):
        arm = replace(verified(use, 0.01), key="arm")
        made = solid_checks(study, (arm,), ())  # type: ignore[arg-type]
        (check,) = [each for each in made if each.key == "solid-buckling-arm"]
        assert check.note.endswith(said)


def test_how_it_buckles_is_kept_with_the_rest(tmp_path: Path) -> None:
    part = verified(0.5, 0.01)
    keep(tmp_path, "k", part)
    again = load(tmp_path, "k")
    assert again is not None
    assert again.spots == part.spots
    assert again.buckled is not None
    assert part.buckled is not None
    assert again.buckled.case == "drop"
    assert np.array_equal(again.buckled.moved, part.buckled.moved)
    keep(tmp_path, "n", replace(part, buckled=None))
    plain = load(tmp_path, "n")
    assert plain is not None
    assert plain.buckled is None


def test_a_full_disk_leaves_the_kept_result(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Arrays first: where those cannot be written nothing else is."""
    part = verified(0.5, 0.01)
    keep(tmp_path, "k", part)

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("refledge.whole.os.fsync", full)
    with pytest.raises(BuildError, match="the disk is full"):
        keep(tmp_path, "k", replace(part, sizes=(1.0, 1.0), buckled=None))
    again = load(tmp_path, "k")
    assert again is not None
    assert again.sizes == part.sizes
    assert again.buckled is not None
    assert part.buckled is not None
    assert np.array_equal(again.buckled.moved, part.buckled.moved)
    assert sorted(each.suffix for each in tmp_path.iterdir()) == [".json", ".npz", ".vtu"]
