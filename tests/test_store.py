"""The store: nothing is lost, nothing is changed, two write at once, cards learn from it."""

import json
import sqlite3
from dataclasses import replace
from pathlib import Path

import pytest

from refledge.bench.reduce import reduce_session
from refledge.errors import InputError
from refledge.inputs.cards import material_cards
from refledge.inputs.readings import read_session
from refledge.model.bench import Session, Specimen
from refledge.model.bench_results import Reduction
from refledge.model.learning import Prediction
from refledge.store import (
    Store,
    StoreError,
    learned_card,
    learned_cards,
    read_taught,
    taught_text,
    updated_cards,
)

EXAMPLE = Path(__file__).parents[1] / "examples" / "bench" / "cantilever.toml"
CARDS = material_cards()


def example(digest: str = "", **changes: object) -> tuple[Session, Reduction]:
    session = read_session(EXAMPLE)
    file = replace(session.file, **changes)
    session = replace(session, file=file, digest=digest or session.digest)
    return session, reduce_session(session, CARDS["PETG"], 200)


def test_a_session_comes_back_with_all_its_readings(tmp_path: Path) -> None:
    session, reduction = example()
    with Store(tmp_path) as store:
        assert store.save(session, reduction, "0.1.0") == 1
    with Store(tmp_path / "bench.sqlite") as store:
        (kept,) = store.sessions()
        assert kept.readings == sum(len(s.readings) for s in session.file.series) == 28
        assert store.text_of(1) == session.text
        (row,) = store.evidence("PETG")
        store.check()
    assert row.prop == "E_xy"
    assert row.value == reduction.measured[0].value
    assert row.gauges == "dial gauge A, kitchen scale"


def test_the_same_file_twice_is_one_session_and_counts_once(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        for version in ("0.1.0", "0.2.0"):
            store.save(*example(), version)
        assert len(store.sessions()) == 1
        assert len(store.evidence("PETG")) == 1


def test_readings_and_predictions_cannot_be_changed(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        store.save(*example(), "0.1.0")
        store.predict(Prediction("mode 1", 100.0, 5.0, "Hz", "test"))
    with sqlite3.connect(tmp_path / "bench.sqlite") as db:
        for table in ("session", "reading", "reduction", "measured", "prediction"):
            column = {"prediction": "value", "measured": "value", "reading": "read_m"}
            with pytest.raises(sqlite3.IntegrityError, match="never changed"):
                db.execute(f"UPDATE {table} SET {column.get(table, 'version')} = 1"
                           if table != "session" else "UPDATE session SET note = ''")  # fmt: skip
            with pytest.raises(sqlite3.IntegrityError, match="never changed"):
                db.execute(f"DELETE FROM {table}")


def test_cards_learn_the_spool_and_say_so(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        store.save(*example(), "0.1.0")
        cards = updated_cards(CARDS, store)
        _, rows = learned_card(CARDS["PETG"], store)
        assert store.evidence("PETG", "another spool") == ()
    assert cards["PETG"].E_xy.measured_here
    assert cards["PETG"].E_xy.spread < CARDS["PETG"].E_xy.spread
    assert cards["PLA"] == CARDS["PLA"]
    assert {row.prop for row in rows} == {"E_xy", "E_z", "G_xz"}


def test_settings_and_spools_are_kept_apart(tmp_path: Path) -> None:
    """The spool tested last is used; with the settings it was last printed with."""
    session, _ = example()
    hot = replace(session.file.settings, nozzle_temperature=533.15)
    other = replace(session.file.spool, name="blue 1")
    with Store(tmp_path) as store:
        store.save(*example(), "v")
        store.save(*example("1" * 64, settings=hot, date="2026-06-01"), "v")
        store.save(*example("2" * 64, spool=other, date="2026-05-01"), "v")
        (latest,) = store.evidence("PETG")
        assert latest.date == "2026-06-01"
        assert len(store.evidence("PETG", "grey 3")) == 2
        assert len(store.evidence("PETG", "blue 1")) == 1


def test_a_spool_that_is_named_feeds_the_card_and_else_the_one_tested_last(tmp_path: Path) -> None:
    """Grey is the stiffer one and was tested later; each is as it was last printed."""
    session, _ = example()
    older = replace(session.file.spool, name="blue 1")
    hot = replace(session.file.settings, nozzle_temperature=533.15)
    with Store(tmp_path) as store:
        store.save(*example(), "v")
        store.save(*softer("1" * 64, spool=older, date="2026-05-01"), "v")
        store.save(*softer("2" * 64, settings=hot, date="2026-04-01"), "v")
        assert [(s.name, s.sessions) for s in store.spools("PETG")] == [
            ("grey 3", 2),
            ("blue 1", 1),
        ]
        assert store.spools("PLA") == ()
        last = learned_cards(CARDS, store)
        grey = learned_cards(CARDS, store, {"PETG": "grey 3"})
        blue = learned_cards(CARDS, store, {"PETG": "blue 1"})
        with pytest.raises(InputError, match=r'"grey 4"; allowed: grey 3 \(2026-05-30\), blue 1'):
            learned_cards(CARDS, store, {"PETG": "grey 4"})
        with pytest.raises(InputError, match="none of PLA"):
            learned_cards(CARDS, store, {"PLA": "white"})
    assert last.cards == grey.cards
    assert [each.date for each in grey.evidence["PETG"]] == ["2026-05-30"]
    assert blue.cards["PETG"].E_xy.value < 0.95 * grey.cards["PETG"].E_xy.value
    assert "the one tested last (2026-05-30)" in last.about(["PETG"])[0]
    assert last.about(["PETG"])[0].endswith("also tested, not used: blue 1.")
    assert "spool blue 1, named for it (2026-05-01)" in blue.about(["PETG"])[0]


def softer(digest: str, **changes: object) -> tuple[Session, Reduction]:
    """The example's session, all deflections a fifth larger."""
    session, _ = example(digest, **changes)
    series = tuple(
        replace(s, readings=tuple(replace(r, read=1.2 * r.read) for r in s.readings))
        for s in session.file.series
    )
    session = replace(session, file=replace(session.file, series=series))
    return session, reduce_session(session, CARDS["PETG"], 200)


def test_a_prediction_comes_before_its_test_and_is_scored_once(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        with pytest.raises(StoreError, match="before the test"):
            store.score("mode 1", 104.0, 1.0)
        store.predict(Prediction("mode 1", 100.0, 3.0, "Hz", "0.1.0, lake-sampler"))
        with pytest.raises(StoreError, match="never changed"):
            store.predict(Prediction("mode 1", 104.0, 3.0, "Hz", "after the fact"))
        score = store.score("mode 1", 110.0, 4.0)
        assert score.z == pytest.approx(2.0)
        assert score.made < score.scored
        with pytest.raises(StoreError, match="has been scored"):
            store.score("mode 1", 101.0, 4.0)
        assert store.scores() == (score,)
        assert store.calibration().count == 1


def test_migrations_are_on_record_and_a_newer_file_is_refused(tmp_path: Path) -> None:
    Store(tmp_path).close()
    with sqlite3.connect(tmp_path / "bench.sqlite") as db:
        steps = [row[:2] for row in db.execute("SELECT * FROM migration")]
        assert steps == [(1, "the bench"), (2, "the log")]
        db.execute("INSERT INTO migration VALUES (99, 'later', 'now')")
    with pytest.raises(StoreError, match="newer Refledge"):
        Store(tmp_path)


def test_what_is_no_store_is_left_alone(tmp_path: Path) -> None:
    file = tmp_path / "notes.txt"
    file.write_text("my notes, " * 200)
    with pytest.raises(StoreError, match="name another file"):
        Store(file)
    assert file.read_text() == "my notes, " * 200


def grave(accepted: str = "") -> tuple[Session, Reduction]:
    """A session in which the clamp's give stays in the modulus."""
    session, _ = example("c" * 64)
    one_span = tuple(s for s in session.file.series if s.span > 0.05)
    file = replace(session.file, series=one_span, title="one span", accepted=accepted)
    session = replace(session, file=file)
    return session, reduce_session(session, CARDS["PETG"], 200)


def test_a_session_with_a_grave_finding_teaches_nothing_until_it_is_accepted(
    tmp_path: Path,
) -> None:
    with Store(tmp_path / "doubtful.sqlite") as store:
        session, reduction = grave()
        assert not reduction.usable
        store.save(session, reduction, "v")
        assert store.evidence("PETG") == ()
        (left,) = store.left_out("PETG")
        assert left.startswith("one span: ")
        assert "lower bound" in left
        found = learned_cards(CARDS, store)
        assert found.cards["PETG"] == CARDS["PETG"]
        assert found.learned == {}
        assert "was left out" in found.about(["PETG"])[0]
    with Store(tmp_path / "accepted.sqlite") as store:
        store.save(*grave("compared only with itself"), "v")
        assert len(store.evidence("PETG")) == 1
        assert store.left_out("PETG") == ()


def test_what_was_learned_is_said_of_the_materials_asked_for(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        store.save(*example(), "v")
        found = learned_cards(CARDS, store)
    (note,) = found.about(["PETG", "PLA"])
    assert note == (
        "PETG: E_xy measured on this bench (bench.sqlite), spool grey 3, the one tested last "
        "(2026-05-30); E_z, G_xz moved with it."
    )
    assert found.about(["PLA"]) == ()
    assert set(found.of(["PETG"])) == {"PETG"}
    assert found.of(["PLA"]) == {}


def test_readings_are_kept_before_anything_is_made_of_them(tmp_path: Path) -> None:
    session, reduction = example()
    with Store(tmp_path) as store:
        assert store.keep(session) == store.keep(session) == 1
        assert store.evidence("PETG") == ()
        assert store.save(session, reduction, "v") == 1
        assert [s.readings for s in store.sessions()] == [28]
        assert len(store.evidence("PETG")) == 1


def pulled() -> tuple[Session, Reduction]:
    """Five inserts pulled out of the same spool."""
    session, _ = example("e" * 64)
    pieces = tuple(Specimen(name=str(i), break_load=500.0 + i) for i in range(5))
    file = replace(session.file, kind="insert-pull", insert="M3", series=(), specimen=pieces)
    session = replace(session, file=file)
    return session, reduce_session(session, CARDS["PETG"], 200)


def test_what_was_taught_comes_back_from_a_build_to_the_last_digit(tmp_path: Path) -> None:
    """With the measurements behind it; other cards stay literature's."""
    with Store(tmp_path) as store:
        store.save(*example(), "v")
        store.save(*pulled(), "v")
        found = learned_cards(CARDS, store)
        rows = store.evidence("PETG")
    file = tmp_path / "taught.json"
    file.write_text(taught_text(found), encoding="utf-8")
    back = read_taught(file, CARDS)
    assert back.cards == found.cards
    assert back.cards["PETG"].pull_outs[0].load.value == pytest.approx(502.0)
    assert repr(back.learned) == repr(found.learned)  # some figures are not numbers
    assert back.about(["PETG"]) == found.about(["PETG"])
    assert back.evidence == {"PETG": rows}
    assert {row.prop for row in rows} == {"E_xy", "insert_pull_out M3"}
    assert "PETG: E_xy, pull-out of M3 inserts measured" in found.about(["PETG"])[0]
    assert "1 session, 5 pieces, 2026-05-30" in back.cards["PETG"].pull_outs[0].load.source
    assert set(json.loads(file.read_text())["cards"]) == {"PETG"}
    file.write_text(taught_text(found).replace("refledge taught 1", "refledge taught 9"))
    with pytest.raises(StoreError, match="schema refledge taught 9"):
        read_taught(file, CARDS)


@pytest.mark.parametrize("text", ["", "{}", "[1]"])
def test_a_torn_file_of_what_was_taught_is_said(tmp_path: Path, text: str) -> None:
    (tmp_path / "taught.json").write_text(text)
    with pytest.raises(StoreError, match="design the build again"):
        read_taught(tmp_path / "taught.json", CARDS)


def test_predictions_are_listed_by_piece(tmp_path: Path) -> None:
    with Store(tmp_path) as store:
        for name in ("arm 1: mass", "arm 1: first mode", "arm 10: mass"):
            store.predict(Prediction(name, 1.0, 0.1, "kg", "test"))
        assert [p.name for p in store.predictions("arm 1")] == ["arm 1: mass", "arm 1: first mode"]
        assert len(store.predictions()) == 3
