"""Material cards: complete, sourced, in order of size, and true to the sheets they cite."""

from dataclasses import fields
from math import pi

import pytest

from refledge.data.tables import read_rows
from refledge.errors import DataError
from refledge.inputs.cards import build_card, material_cards
from refledge.model.materials import MaterialCard, Property

CARDS = material_cards()
PRINTED = [card for card in CARDS.values() if card.kind == "printed"]
each_card = pytest.mark.parametrize("card", CARDS.values(), ids=lambda card: card.key)
each_printed = pytest.mark.parametrize("card", PRINTED, ids=lambda card: card.key)


def properties(card: MaterialCard) -> dict[str, Property]:
    found = {each.name: getattr(card, each.name) for each in fields(card)}
    return {name: value for name, value in found.items() if isinstance(value, Property)}


def test_the_materials_asked_for_are_there() -> None:
    printed = {"PLA", "tough-PLA", "PETG", "PETG-CF", "PET-CF", "ABS", "ASA", "PC"}
    nylons = {"PA6-GF", "PA12", "PA6-CF", "PA12-CF"}
    tubes = {f"carbon-tube-{size}" for size in ("12x10", "16x14", "20x18", "25x23")}
    assert {card.key for card in PRINTED} == printed | nylons
    assert tubes | {"PA66-GF30-moulded", "aluminium-tube-16x14"} <= set(CARDS)
    assert all(key == card.key for key, card in CARDS.items())


@each_card
def test_every_figure_has_a_source_and_a_spread(card: MaterialCard) -> None:
    for name, each in properties(card).items():
        assert each.source.strip(), name
        assert 0 < each.spread < 0.6, name
        assert not each.measured_here, name


@each_card
def test_figures_stand_in_their_order(card: MaterialCard) -> None:
    assert card.E_z.value <= card.E_xy.value
    assert card.strength_z.value <= card.strength_xy.value
    assert card.shear_z.value <= card.strength_xy.value
    assert card.G_xz.value <= card.E_xy.value / 2
    assert 0.2 < card.nu.value < 0.45
    assert card.price_low.value < card.price_high.value
    for factor in (card.creep_factor, card.wet_modulus, card.wet_strength):
        assert 0.2 < factor.value <= 1.0


@each_printed
def test_printed_figures_lie_where_printed_plastic_lies(card: MaterialCard) -> None:
    assert 1e9 < card.E_xy.value < 1e10
    assert 20e6 < card.strength_xy.value < 120e6
    assert 900 < card.rho.value < 1500
    assert 310 < card.glass_transition.value < 400
    assert 453 < card.nozzle_temperature < 600
    assert 320 < card.bed_temperature < 400
    assert card.abrasive == (card.key.endswith(("CF", "GF")))


@each_printed
def test_strength_across_layers_is_no_makers_figure(card: MaterialCard) -> None:
    """Makers' Z over XY runs to 0.9 and the low end is 0.2 to 0.3: the card stands between."""
    ratio = card.strength_z.value / card.strength_xy.value
    assert 0.25 < ratio < 0.62
    assert card.strength_z.spread >= 0.25
    assert "times" in card.strength_z.source


# Flexural moduli in plane, MPa, as printed on the sheets that the source column names.
SHEETS = {
    "PLA": (2868.2, 2750, 3231, 3185),
    "PETG": (1898.5, 1950, 1700, 2050),
    "ASA": (1939.7, 1920),
    "PC": (2640, 2310, 2518, 2050),
    "PA6-GF": (3670,),
    "PA6-CF": (5460, 8339),
}


@pytest.mark.parametrize("key", SHEETS)
def test_modulus_is_the_mean_of_the_sheets_and_spans_half_their_range(key: str) -> None:
    figures = SHEETS[key]
    mean = sum(figures) / len(figures)
    half_range = (max(figures) - min(figures)) / 2
    assert CARDS[key].E_xy.value == pytest.approx(mean * 1e6, rel=1e-3)  # four figures in table
    assert CARDS[key].E_xy.spread >= 0.99 * half_range / mean


def test_temperatures_are_in_kelvin() -> None:
    assert CARDS["PLA"].glass_transition.value == pytest.approx(60 + 273.15)
    assert CARDS["PLA"].nozzle_temperature == pytest.approx(210 + 273.15)


def test_a_tube_carries_its_size() -> None:
    tube = CARDS["carbon-tube-16x14"]
    assert (tube.kind, tube.outer, tube.bore) == ("tube", 0.016, 0.014)
    assert "16 mm" in tube.name
    mass_per_length = tube.rho.value * pi / 4 * (tube.outer**2 - tube.bore**2)
    assert mass_per_length == pytest.approx(0.0707, rel=0.01)  # 15 pi mm2 of 1.5 g/cm3
    assert CARDS["PLA"].outer == 0.0
    assert "carbon-tube" not in CARDS


def petg_rows() -> dict[str, dict[str, str]]:
    return {
        row["property"]: dict(row) for row in read_rows("materials") if row["material"] == "PETG"
    }


def test_rows_give_the_card() -> None:
    assert build_card("PETG", petg_rows()) == CARDS["PETG"]


def test_a_card_lacking_a_figure_is_refused() -> None:
    rows = petg_rows()
    del rows["E_z"]
    with pytest.raises(DataError, match="E_z"):
        build_card("PETG", rows)


@pytest.mark.parametrize(
    ("name", "cell", "text", "said"),
    [
        ("rho", "unit", "furlong", "furlong"),
        ("rho", "value", "heavy", "heavy"),
        ("rho", "spread", "", "spread"),
        ("abrasive", "value", "perhaps", "perhaps"),
    ],
)
def test_a_bad_cell_is_refused(name: str, cell: str, text: str, said: str) -> None:
    rows = petg_rows()
    rows[name][cell] = text
    with pytest.raises(DataError, match=said):
        build_card("PETG", rows)


def test_an_unknown_property_is_refused() -> None:
    rows = petg_rows()
    rows["colour"] = dict(rows["rho"], property="colour")
    with pytest.raises(DataError, match="colour"):
        build_card("PETG", rows)
