"""Files of a test piece: a page to print, a form that reads back once it is filled in."""

import re
import subprocess
from pathlib import Path
from shutil import which

import pytest
from pypdf import PdfReader

from refledge.bench.predicting import arm_piece, bench_span
from refledge.errors import InputError
from refledge.geometry.coupons import Coupon, coupon_keys, coupon_spec, make_coupon, short_arm
from refledge.inputs.cards import material_cards
from refledge.inputs.fasteners import hardware
from refledge.inputs.readings import read_session
from refledge.model.bench import ArmPiece
from refledge.outputs.bench_forms import KINDS, filled_in, form_text
from refledge.outputs.coupon_files import write_coupon
from tests.geometry.frames import arm, frame

CARD = material_cards()["PETG"]
ROWS = """[
  { mass = "0 g", read = "0.01 mm" },
  { mass = "50 g", read = "0.41 mm" },
  { mass = "100 g", read = "0.82 mm" },
  { mass = "0 g", read = "0.01 mm" },
]"""


def filled(form: str) -> str:
    """As someone would fill it in: examples taken, readings written."""
    form = form.replace('date = ""', 'date = "2026-05-31"')
    form = form.replace('temperature = ""', 'temperature = "21 degC"')
    form = re.sub(r'= "" # .*such as (.*)', r'= "\1"', form)
    form = re.sub(r'name = "" #', 'name = "grey 3" #', form)
    return re.sub(r"(?m)^readings = \[.*?^\]", f"readings = {ROWS}", form, flags=re.DOTALL)


def the_arm() -> tuple[Coupon, ArmPiece]:
    cut, made = short_arm(frame(6, arm("truss")), hardware(), 0.08)
    return made, arm_piece(cut)


@pytest.mark.parametrize("key", [key for key in coupon_keys() if key != "fit"])
def test_a_form_that_was_filled_in_is_read(key: str, tmp_path: Path) -> None:
    made = make_coupon(key, hardware())
    form = form_text(made, "PETG", screw="M3")
    file = tmp_path / f"{key}.toml"
    file.write_text(form)
    with pytest.raises(InputError, match="date"):
        read_session(file)
    file.write_text(filled(form))
    found = read_session(file).file
    assert found.kind == KINDS[made.procedure]
    assert len(found.specimen) == made.quantity
    turned = re.search("flat|edge|upright", key)
    others = "upright" if key == "layer-pull" else "flat"
    assert found.settings.orientation == (turned[0] if turned else others)
    assert filled_in(filled(form))
    assert not filled_in(form)


def test_the_form_of_an_arm_holds_the_arm_and_its_prediction(tmp_path: Path) -> None:
    made, piece = the_arm()
    name = 'Lake "one", short arm'
    form = form_text(made, "PETG", arm=piece, span=bench_span(piece), predicted=name)
    (tmp_path / "arm.toml").write_text(filled(form))
    found = read_session(tmp_path / "arm.toml").file
    assert found.predicted == name
    assert found.arm is not None
    for field in ("length", "width", "depth_root", "side", "pitch", "web", "held"):
        assert getattr(found.arm, field) == pytest.approx(getattr(piece, field), abs=1e-6), field
    assert found.series[0].span == pytest.approx(bench_span(piece), abs=1e-4)


def test_four_files_are_written_and_a_form_in_use_is_kept(tmp_path: Path) -> None:
    made = make_coupon("insert-block", hardware(), screw="M3")
    spec = coupon_spec(made, CARD, (0.2, 0.2, 0.2))
    form = form_text(made, "PETG", screw="M3")
    files = write_coupon(tmp_path / "pieces", made, spec, CARD.name, "test", form)
    assert [f.suffix for f in files] == [".step", ".3mf", ".html", ".toml"]
    assert sorted(f.name for f in (tmp_path / "pieces").iterdir()) == sorted(f.name for f in files)
    assert "M3 insert block" in files[2].read_text()
    files[3].write_text(filled(form))
    write_coupon(tmp_path / "pieces", made, spec, CARD.name, "test", form)
    assert files[3].read_text() == filled(form)


@pytest.mark.skipif(which("chromium") is None, reason="needs a browser to print")
@pytest.mark.slow
@pytest.mark.parametrize("key", ["bar-flat", "torsion-flat", "layer-pull", "arm"])
def test_a_procedure_prints_on_one_page(key: str, tmp_path: Path) -> None:
    predicted: tuple[str, tuple[str, ...]] = ("", ())
    if key == "arm":
        made, _ = the_arm()
        name = "a name as long as they come, short truss arm, 80 mm of span, PETG, 123456"
        predicted = (name, ("tip deflection", "first mode", "mass"))
    else:
        made = make_coupon(key, hardware())
    spec = coupon_spec(made, CARD, (0.2, 0.2, 0.2))
    _, _, page, _ = write_coupon(tmp_path, made, spec, CARD.name, "test", "", predicted)
    out = tmp_path / "page.pdf"
    command = ["chromium", "--headless", "--no-sandbox", "--disable-gpu"]
    command += ["--no-pdf-header-footer", f"--print-to-pdf={out}", str(page)]
    subprocess.run(command, check=True, capture_output=True, timeout=60)
    assert len(PdfReader(out).pages) == 1
