"""The build book: nothing is left out, its figures are the study's, it reads on paper."""

import io
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from refledge.flight.air import GRAVITY
from refledge.model.results import Fastener, MassLine, Placement
from refledge.outputs.book import pictures as book_pictures
from refledge.outputs.book.balance import balance, direction
from refledge.outputs.book.blocks import Book, Caution, Grid, Photo, Step
from refledge.outputs.book.filled_in import filled_in
from refledge.outputs.book.making import printing
from refledge.outputs.book.motors import motor_sheet
from refledge.outputs.book.stage import HINGES
from refledge.outputs.book.stages import STAGES, stages_of
from refledge.outputs.drawing.marks import Line, Text
from refledge.study import Study
from refledge.verify.on_bench import bench_readings, tip_compliance
from tests.geometry.holders import receiver_holder
from tests.outputs.drawing_parts import overlaps
from tests.outputs.fake_assessment import DEPTH, WIDTH, E


def steps(book: Book) -> list[Step]:
    return [b for chapter in book.chapters for b in chapter.blocks if isinstance(b, Step)]


def test_every_part_and_item_comes_on_in_some_step(study: Study) -> None:
    fitted = {key for stage, _ in stages_of(study) for key in (*stage.parts, *stage.base)}
    placed = {p.key for p in study.assembly.placements if p.group != "disc"}
    assert placed <= fitted


def test_a_new_kind_of_part_gets_a_step_of_its_own(study: Study) -> None:
    spec = replace(study.parts[0], key="camera_arm", name="camera arm")
    place = Placement("camera_arm", "camera arm", "part", np.eye(3), np.array([0.1, 0, -0.05]))
    bolt = Fastener("M2 x 8", 2, "camera arm on the lower plate", 0.1, 0.001)
    more = replace(
        study, parts=(*study.parts, spec), fasteners=(*study.fasteners, bolt),
        assembly=replace(study.assembly, placements=(*study.assembly.placements, place)),
    )  # fmt: skip
    ((stage, fasteners),) = [(s, f) for s, f in stages_of(more) if "camera_arm" in s.parts]
    assert fasteners == (bolt,)
    titles = [s.title for s, _ in stages_of(more)]
    assert titles.index(stage.title) < titles.index("Battery and payload")


def test_every_fastener_is_in_just_one_step(study: Study) -> None:
    found = [f.name + f.where for _, fasteners in stages_of(study) for f in fasteners]
    assert sorted(found) == sorted(f.name + f.where for f in study.fasteners)


def test_fasteners_of_a_real_frame_find_their_steps(study: Study) -> None:
    """The places that the bolts list names, each in the step that fits it."""
    wanted = {
        "arms between the plates": "close the stack",
        "arms between the plates, with leg flange": "close the stack",
        "motor mounts on the arms": "Motor mounts onto the arms",
        "motors on their mounts": "Motors onto their mounts",
        "something nobody named": "close the stack",
    }
    bolts = tuple(Fastener(f"M3 x {k}", 4, where, 0.2, 1e-3) for k, where in enumerate(wanted))
    homes = {
        f.where: stage.title
        for stage, fasteners in stages_of(replace(study, fasteners=bolts))
        for f in fasteners
    }
    for where, words in wanted.items():
        assert words in homes[where], where


def test_bolts_under_holders_wait_for_their_steps(study: Study) -> None:
    """The step that closes the stack says which places stay free; each later one names its arm."""
    one = replace(study, frame=replace(study.frame, receiver_holder=receiver_holder(arm=2)))
    said = filled_in(one)
    assert "the two inner ones of arm 3 (receiver holder)" in said["decked"]
    assert said["receiver_holder_arm"] == "arm 3"
    plain = filled_in(study)
    assert plain["decked"] == plain["receiver_holder_arm"] == plain["mast_arm"] == ""
    for stage in STAGES:
        for words in stage.say:
            assert "{" not in words.format(**plain)


def test_the_item_in_a_holder_comes_on_by_itself(study: Study) -> None:
    name = study.brief.others[0].name
    frame = replace(study.frame, receiver_holder=receiver_holder(item=name))
    put = [Placement(key, key, "part", np.eye(3), np.zeros(3))
           for key in ("receiver_holder", "other_1", "upper_plate")]  # fmt: skip
    assembly = replace(study.assembly, placements=(*study.assembly.placements, *put))
    found = {s.title: s.parts for s, _ in stages_of(replace(study, frame=frame, assembly=assembly))}
    assert found["Receiver into its holder"] == ("other_1",)
    assert all("other_1" not in parts for title, parts in found.items() if "Receiver" not in title)


def test_what_the_seat_holds_in_and_stands_on_has_its_own_steps(study: Study) -> None:
    def titles(one: Study, *keys: str) -> set[str]:
        put = (Placement(key, key, "part", np.eye(3), np.zeros(3)) for key in keys)
        assembly = replace(one.assembly, placements=(*one.assembly.placements, *put))
        return {stage.title for stage, _ in stages_of(replace(one, assembly=assembly))}

    inserts, nuts = "Heat-set inserts into the seat", "Nuts into the seat"
    hard, soft = "Seat onto the upper plate", "Carrier and elastic standoffs onto the upper plate"
    plain = titles(study, "seat", "upper_plate")
    assert {inserts, hard} <= plain
    assert not {nuts, soft} & plain
    seat = replace(study.frame.seat, threads="nuts")
    other = replace(study, frame=replace(study.frame, seat=seat))
    found = titles(other, "seat", "upper_plate", "standoff")
    assert {nuts, soft} <= found
    assert not {inserts, hard} & found


def test_new_parts_are_told_from_old_in_black_and_white(study: Study) -> None:
    """In grey the lifted arms are darker than the plate they go onto."""
    stage = next(s for s, _ in stages_of(study) if "arm" in s.parts)
    pixels = Image.open(io.BytesIO(book_pictures.stage_picture(study, stage, frozenset())))
    colour = np.asarray(pixels, dtype=float)
    grey = np.asarray(pixels.convert("L"), dtype=float)
    strong = colour[..., 0] - colour[..., 2] > 60  # orange
    assert strong.mean() > 0.01
    plain = ~strong & (np.ptp(colour, axis=2) < 12) & (grey > 60)
    assert np.median(grey[strong]) < np.median(grey[plain]) - 60


def test_each_step_has_a_picture_and_the_cautions_stand_in_place(book: Book) -> None:
    for step in steps(book):
        assert isinstance(step.blocks[0], Photo)
    cautions = {
        step.title: [b for b in step.blocks if isinstance(b, Caution)] for step in steps(book)
    }
    assert any(cautions[title] for title in cautions if "close the stack" in title)
    chapters = {
        c.title: [b.name for b in c.blocks if isinstance(b, Caution)] for c in book.chapters
    }
    assert "Lithium packs" in chapters["Wiring"]
    assert "Propellers off" in chapters["Motor numbers and turn directions"]
    assert "Where you may fly" in chapters["First flights, rung by rung"]


def test_print_list_has_the_studys_figures(book: Book, study: Study) -> None:
    grids = [b for c in book.chapters for b in c.blocks if isinstance(b, Grid)]
    (rows,) = [g.rows for g in grids if g.caption.startswith("Print list")]
    assert [r[0] for r in rows] == [f"{p.key}.3mf" for p in study.parts if p.printed]
    assert sum(int(r[2]) for r in rows) == sum(p.quantity for p in study.parts if p.printed)


@pytest.mark.parametrize(("walls", "said"), [(2, True), (5, True), (6, False), (12, False)])
def test_the_book_asks_for_solid_plastic_under_washers_where_walls_end_sooner(
    study: Study, walls: int, said: bool
) -> None:
    """M3 on large washers: (9 - 3.4 - allowance) / 2 of solid plastic, in lines of 0.45 mm."""
    frame = replace(study.brief.frame, walls=walls)
    printer = replace(study.brief.printer, nozzle=0.4e-3)
    one = replace(study, brief=replace(study.brief, frame=frame, printer=printer))
    assert printer.extrusion_width == pytest.approx(0.45e-3)
    tables = [b for b in printing(one).blocks if isinstance(b, Grid)]
    rows = [row for table in tables for row in table.rows if "bolt holes" in row[0]]
    assert len(rows) == said
    for row in rows:
        assert "M3" in row[0]
        assert "9.0 mm across" in row[1]
        assert "6 perimeters" in row[1] or "7 perimeters" in row[1]


def _lined(study: Study, pull: float) -> Study:
    tray = replace(study.frame.tray, line=0.01)
    case = replace(study.loads[0], key="caught", slung_force=pull)
    full = replace(study.loads[0], key="full-thrust", slung_force=15.0)
    return replace(study, frame=replace(study.frame, tray=tray), loads=(full, case))


def test_the_book_slings_a_payload_with_a_weak_link(study: Study) -> None:
    """Twice what the payload pulls at full thrust, unless a caught line cannot pull as much."""
    for pull, parts in ((57.0, "about 30 N"), (20.0, "about 20 N")):
        words = filled_in(_lined(study, pull))
        assert "10 mm wide" in words["webbing"]
        assert "ring" in words["payload"]
        assert parts in words["weak_line"]
        assert f"up to {pull:.0f} N" in words["weak_line"]
    plain = filled_in(study)
    assert plain["webbing"] == plain["weak_line"] == ""
    assert "no part of the frame is made to hold it" in plain["payload"]


def test_moving_the_battery_as_told_balances_it(study: Study) -> None:
    weight = MassLine("camera", "items", 1, 0.2, (0.12, -0.05, 0.0), "test")
    heavy = replace(study, masses=(*study.masses, weight))
    found = balance(heavy)
    assert found.x > 0 > found.y
    battery = next(m for m in heavy.masses if m.name == "battery")
    x, y, z = battery.centre
    moved = replace(battery, centre=(x + found.battery_x, y + found.battery_y, z))
    after = replace(heavy, masses=tuple(moved if m is battery else m for m in heavy.masses))
    assert (balance(after).x, balance(after).y) == (0.0, 0.0)
    assert direction(found.battery_x, found.battery_y).endswith("to the left")
    assert direction(0.0, 0.0) == ""


def test_tip_deflection_is_that_of_a_cantilever(study: Study) -> None:
    """Timoshenko, Strength of Materials: w = P L^3 / 3 E I, and shear, which is under 2 % here."""
    long = study.layout.motor_radius  # the hub is held, and its beam is as deep as the arm
    bending = long**3 / (3 * E * WIDTH * DEPTH**3 / 12)
    assert bending < tip_compliance(study) < 1.02 * bending


def test_bench_readings_follow_weight_and_card(study: Study) -> None:
    found = bench_readings(study)
    lifted = study.full.rotors[0].thrust
    assert found.weight * GRAVITY <= lifted < 2.6 * found.weight * GRAVITY
    assert found.deflection == pytest.approx(found.weight * GRAVITY * tip_compliance(study))
    assert found.deflection_spread == study.cards[study.frame.arm.material].E_xy.spread
    flown = study.brief.battery.mass + study.brief.payload.mass
    assert found.dry_mass == pytest.approx(study.all_up_mass - flown)


def test_arrows_turn_as_the_rotors_do(study: Study) -> None:
    """The way round each arc, by its signed area about the motor, is the rotor's spin."""
    sheet = motor_sheet(study)
    arcs = [
        m.points
        for m in sheet.marks
        if isinstance(m, Line) and m.kind == "outline" and len(m.points) > 20
    ]
    assert len(arcs) == study.layout.n_rotors
    for arc, spin in zip(arcs, study.layout.spin, strict=True):
        middle = (arc.max(axis=0) + arc.min(axis=0)) / 2
        a, b = arc[:-1] - middle, arc[1:] - middle
        assert np.sign((a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).sum()) == spin
    assert overlaps(sheet) == []


def test_rotor_one_stands_right_of_the_nose(study: Study) -> None:
    sheet = motor_sheet(study)
    one = next(m for m in sheet.marks if isinstance(m, Text) and m.words == "1")
    assert one.x > sheet.wide / 2
    assert one.y > sheet.wide / 2


def test_stages_name_no_part_twice_as_new_on_the_aircraft() -> None:
    """A part may be worked on before, but comes onto the aircraft once, arms clamped or folding."""
    for other in ("only", "unless"):
        kept = [stage for stage in STAGES if getattr(stage, other) != HINGES]
        on = [key for stage in kept if not stage.base for key in stage.parts]
        assert len(on) == len(set(on))
