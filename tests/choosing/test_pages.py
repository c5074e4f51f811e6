"""What the page, the tables and the words say about a comparison."""

import csv
import json
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from refledge.choosing.compare import Comparison
from refledge.choosing.finalist import Buy, Miss
from refledge.choosing.flying import Steering
from refledge.choosing.losses import Loss
from refledge.flight.pairs import Flat
from refledge.outputs import flying_words as flight
from refledge.outputs import layouts_words as words
from refledge.outputs.layouts_chart import layouts_chart
from refledge.outputs.layouts_files import write_layouts

PARSED = (".//{http://www.w3.org/2000/svg}text", ".//{http://www.w3.org/2000/svg}circle")


def loss(rotor: int, *, level: bool, heading: bool) -> Loss:
    return Loss(rotor, level, heading, 1.5, 0.8, 200.0 + rotor, 0.7, "" if level else "it cannot")


class Words(HTMLParser):
    """Text of a page, and whether its elements close as they open."""

    void = frozenset({"meta", "br", "img", "circle", "line", "rect", "polyline"})

    def __init__(self, page: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.text = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: object) -> None:  # noqa: ARG002
        if tag not in self.void:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag not in self.void:
            assert self.open[-1] == tag, (tag, self.open)
            self.open.pop()

    def handle_data(self, data: str) -> None:
        self.text += data


def test_folder_holds_page_tables_and_record(comparison: Comparison, tmp_path: Path) -> None:
    page = write_layouts(comparison, tmp_path / "new")
    read = Words(page.read_text(encoding="utf-8"))
    assert read.open == []
    for wanted in ("Lake sampler", "six flat, X", "four flat, X", "What each gives up", "How each"):
        assert wanted in read.text
    rows = list(csv.DictReader((page.parent / "layouts.csv").open(encoding="utf-8")))
    assert [row["key"] for row in rows] == ["A", "B"]
    first = comparison.finalists[0]
    assert float(rows[0]["all-up mass (kg)"]) == pytest.approx(first.all_up_mass, rel=1e-5)
    assert float(rows[0]["hover time (min)"]) == pytest.approx(
        first.flying.endurance.value / 60, rel=1e-5
    )
    assert rows[0]["losses held level"] == "6"
    record = json.loads((page.parent / "layouts.json").read_text(encoding="utf-8"))
    assert record["finalists"][0]["flying"]["hover"]["power"] == pytest.approx(
        first.flying.hover.power, rel=1e-6
    )
    assert record["finalists"][1]["candidate"] == comparison.finalists[1].candidate
    front = list(csv.DictReader((page.parent / "pareto.csv").open(encoding="utf-8")))
    assert len(front) == record["pareto"] == len(comparison.front.columns["candidate"])
    assert not list(page.parent.glob(".*"))


def test_chart_shows_every_finalist_and_the_whole_sweep(comparison: Comparison) -> None:
    picture = ET.fromstring(layouts_chart(comparison))
    texts = [each.text for each in picture.findall(PARSED[0])]
    for each in comparison.finalists:
        assert texts.count(each.key) == 2  # at its place and in the list
    circles = picture.findall(PARSED[1])
    dots = [each for each in circles if each.get("r") == "1.6"]
    assert len(dots) == comparison.survey.hovering + 1  # and the key's
    heights = [float(each.get("cy")) for each in circles if each.get("r") == "6.5"][:2]
    six, four = (each.flying.endurance.value for each in comparison.finalists)
    assert (heights[0] > heights[1]) == (six < four)  # pixels count downwards
    frame = [float(c.get("cx")) for c in circles if c.get("r") == "6.5"][:2]
    assert all(70 <= x <= 560 for x in frame)
    wide, narrow = (each.footprint for each in comparison.finalists)
    assert (frame[0] > frame[1]) == (wide > narrow)


def test_what_one_gives_up_is_against_the_best(comparison: Comparison) -> None:
    one, other = comparison.finalists
    lost = words.gives_up(one, comparison.finalists)
    minutes = (other.flying.endurance.value - one.flying.endurance.value) / 60
    assert f"{minutes:.1f} min of hover (B)" in lost
    assert "longest hover" in words.gains(other, comparison.finalists)
    assert "longest hover" not in words.gains(one, comparison.finalists)
    near = replace(other, all_up_mass=one.all_up_mass * 1.01)
    assert not any("mass" in each for each in words.gives_up(near, (one, near)))
    far = replace(other, all_up_mass=one.all_up_mass * 1.1)
    assert any("more mass (A)" in each for each in words.gives_up(far, (one, far)))


def test_a_stopped_rotor_counts_as_given_up(comparison: Comparison) -> None:
    six, four = comparison.finalists
    (told,) = [t for t in words.gives_up(four, (six, four)) if t.startswith("a stopped rotor")]
    assert told == "a stopped rotor: comes down (A: level, but it spins)"
    assert not any(t.startswith("a stopped") for t in words.gives_up(six, (six, four)))


@pytest.mark.parametrize(
    ("level", "heading", "short", "said"),
    [
        ("1111", "1111", "flies on, keeps heading", "keeps its heading"),
        ("1111", "0000", "level, but it spins", "spins about the vertical"),
        ("1111", "1001", "level; heading 2 of 4", "keeps its heading if rotor 1 or 4 stops"),
        ("0000", "0000", "comes down", "comes down: it cannot"),
        ("0111", "0110", "held after 3 of 4, heading after 2", "comes down if rotor 1 stops"),
    ],
)
def test_losses_in_words(level: str, heading: str, short: str, said: str) -> None:
    losses = [
        loss(k + 1, level=a == "1", heading=b == "1")
        for k, (a, b) in enumerate(zip(level, heading, strict=True))
    ]
    assert flight.loss_short(losses) == short
    assert said in flight.loss_sentence(losses)


def test_wishes_missed_and_things_to_buy() -> None:
    assert words.miss_words(Miss("hover time", 540.0, 720.0, "s", "min")) == (
        "hover time 9.00 min, at least 12.0 min wanted"
    )
    assert words.miss_words(Miss("all-up mass", 3.6, 3.5, "kg", "kg")) == (
        "all-up mass 3.60 kg, at most 3.50 kg wanted"
    )
    assert words.buy_words(Buy("motor", 6, 4, 1)) == (
        "2 × motor (1 of yours would do after inspection)"
    )
    assert words.buy_words(Buy("motor", 6, 2, 0)) == "4 × motor"


def test_verdict_names_what_fails(comparison: Comparison) -> None:
    good = replace(comparison.finalists[0], feasible=True, misses=())
    assert words.verdict(good) == "keeps the brief's limits and wishes"
    bad = replace(good, feasible=False, worst="tilt: 120% of what is aimed at")
    assert "misses a limit: tilt" in words.verdict(bad)


def test_items_are_named_only_where_they_differ(comparison: Comparison) -> None:
    one, other = comparison.finalists
    names = [line.name for line in words.rows_of((one, replace(one, pack="another")))]
    assert names[:2] == ["layout", "pack"]
    assert "motor" not in names
    assert all(len(line.cells) == 2 for line in words.rows_of((one, other)))


def test_turns_say_what_another_order_would_keep(comparison: Comparison) -> None:
    six, four = comparison.finalists
    assert "heading after 0 of 6 losses; ccw ccw cw ccw cw cw would keep it after 4" in (
        words.turn_words(six)
    )
    assert words.turn_words(four) == ""


def test_kinds_without_a_finalist_are_accounted_for(comparison: Comparison) -> None:
    told = " ".join(words.left_out(comparison))
    for name in ("six flat, X, other turns", "eight flat, X", "three pairs", "four pairs"):
        assert name in told
    assert "all-up mass" in next(t for t in words.left_out(comparison) if t.startswith("eight"))


def test_notes_state_the_sweeps_error(comparison: Comparison) -> None:
    told = " ".join(words.notes(comparison))
    assert f"within {comparison.surrogate.law.spread:.0%}" in told
    relaxed = replace(comparison, front=replace(comparison.front, relaxed=True))
    assert words.notes(relaxed)[0].startswith("No candidate keeps")


def test_steering_and_pairs_in_words() -> None:
    assert flight.steering("no lift") == "no lift"
    assert flight.steering(Steering(0.5, (100.0, 120.0, 6.0))).startswith("yaw 0.50 N m; roll 100")
    assert flight.pair_words(None) == ""
    assert "83.0 W" in flight.pair_words(Flat(83.0, 64.0, 53.0, 1.2))


def test_flight_without_an_answer_says_why(comparison: Comparison) -> None:
    flying = replace(comparison.finalists[0].flying, long="too much drag", wind="cannot hover")
    rows = {row.name: row for row in flight.rows(flying)}
    assert rows["cruise, longest time"].remark == "too much drag"
    assert rows["strongest wind it holds against"].remark == "cannot hover"
    assert rows["hover"].time.startswith(f"{flying.endurance.value / 60:.1f} min (")
    assert rows["full thrust"].remark.startswith("held back by the")
