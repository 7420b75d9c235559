"""The school's logo: what is taken, what is refused and how, and that it is drawn."""

from __future__ import annotations

import io
from pathlib import Path

import page
import pypdfium2
import pytest
from PIL import Image

from classpack.errors import LessonError, Spot
from classpack.pages.look_file import read_look
from classpack.places import own_folder
from classpack.typeset import pdf
from classpack.typeset.logo import check_logo, open_logo
from classpack.typeset.page_text import parse

SPOT = Spot("day.yaml", 9, 7)


def refused(path: Path) -> str:
    with pytest.raises(LessonError) as caught:
        check_logo(path, SPOT)
    return str(caught.value)


@pytest.mark.parametrize(("kind", "name"), [("PNG", "logo.png"), ("JPEG", "logo.jpg")])
def test_a_picture_is_set_into_its_box_with_its_proportions(
    kind: str, name: str, tmp_path: Path
) -> None:
    Image.new("RGB", (400, 100), "#00485a").save(tmp_path / name, kind)
    assert open_logo(tmp_path / name, 90, 52, SPOT).size == (90, 22.5)


def test_a_logo_is_printed_as_a_figure_with_the_school_s_name(tmp_path: Path) -> None:
    path = tmp_path / "logo.png"
    Image.new("RGB", (200, 100), "#00485a").save(path, "PNG")
    look = read_look(own_folder("templates"), school="Harbour Bakes", logo=path)
    sheets = parse('<sheet title="A"><masthead title="A card" logo="yes"/></sheet>', "t.xml")
    data = pdf.draw(sheets, look, title="t", language="en")
    # ISO 14289-1:2014, as page-validation reads it: every figure has words in its place
    assert page.is_pdf_compliant_bytes(data, profile=page.ValidationProfile.PDF_UA_1)
    shown = pypdfium2.PdfDocument(data)[0].render(scale=2).to_pil().convert("RGB")
    corner = shown.crop((shown.width - 84 - 180, 72, shown.width - 84, 72 + 104))
    petrol = sum(
        count
        for count, (r, g, b) in corner.getcolors(1 << 20) or ()
        if r < 30 and 50 < g < 100 and b > 70
    )
    assert petrol > 1000


def test_a_drawing_is_refused_and_told_how_to_be_saved(tmp_path: Path) -> None:
    (tmp_path / "logo.svg").write_text("<svg/>", "utf-8")
    assert refused(tmp_path / "logo.svg") == (
        "day.yaml:9:7: the logo 'logo.svg' is no PNG or JPEG picture; "
        "open it in any drawing program and save it as a PNG, 750 dots wide or more"
    )


def test_a_file_that_is_no_picture_is_refused(tmp_path: Path) -> None:
    for name, data in (("a.png", b"no picture"), ("b.jpg", b"<svg/>")):
        (tmp_path / name).write_bytes(data)
        kind = "PNG" if name == "a.png" else "JPEG"
        assert refused(tmp_path / name) == (
            f"day.yaml:9:7: the logo '{name}' is no {kind} picture; save it again as a PNG or JPEG"
        )
    out = io.BytesIO()
    Image.new("L", (9000, 9), 0).save(out, "PNG")
    (tmp_path / "wide.png").write_bytes(out.getvalue())
    assert refused(tmp_path / "wide.png") == (
        "day.yaml:9:7: the logo 'wide.png' is 9000 by 9 dots; save it with at most 4000 on a side"
    )
    assert "there is no logo 'gone.png'" in refused(tmp_path / "gone.png")
