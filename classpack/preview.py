"""Pictures of sheets, to look at before anything is printed on paper."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from classpack.class_files import read_sources
from classpack.errors import LessonError, Problem, Spot
from classpack.pack_folder import CONFIDENTIAL, write_pack
from classpack.planning.plan.plan_class import plan_class
from classpack.template_folder import templates_folder
from classpack.workshop import print_pack

DOTS_PER_INCH = 100


@dataclass(frozen=True, slots=True)
class Pictures:
    """Where the pictures are, their names in the order of the pack, and what else was kept in the folder."""

    folder: Path
    names: tuple[str, ...]
    kept: tuple[str, ...] = ()


def preview(
    class_path: Path,
    out: Path,
    sheets: Sequence[str] = (),
    *,
    paper: str | None = None,
    style: str | None = None,
    templates: str | None = None,
    tell: Callable[[str], None] = lambda text: None,
) -> Pictures:
    """Draw a class's sheets and put a PNG of each page into ``out/preview-NAME``; the pack itself is not written.

    Args:
        sheets: files of the pack, ``shopping-list`` or ``cards/A1``, or a folder of it, ``cards``; none: all but those kept
            apart, which must be named.
        tell: is told what is being done.

    Raises:
        LessonError: as for a pack; there is no such sheet; the package that draws pictures is not installed.
    """
    pdfium = _pdfium(class_path)
    folder = templates_folder(templates)
    tell("reading")
    planned = plan_class(read_sources(class_path, folder))
    tell("printing")
    pack = print_pack(planned, paper or planned.plan.day.paper, folder, style)
    have = [name.removesuffix(".pdf") for name in pack.files if name.endswith(".pdf")]
    have.remove("pack")
    chosen = _chosen(have, sheets, class_path)
    files: dict[str, bytes] = {}
    for name in chosen:
        tell(name)
        document = pdfium.PdfDocument(pack.files[f"{name}.pdf"])
        for number in range(len(document)):
            picture = io.BytesIO()
            document[number].render(scale=DOTS_PER_INCH / 72).to_pil().save(picture, "PNG")
            files[f"{name}-{number + 1}.png"] = picture.getvalue()
    made = out / f"preview-{class_path.stem}"
    kept = write_pack(made, files, "pictures")
    return Pictures(made, tuple(files), kept)


def _chosen(have: Sequence[str], wanted: Sequence[str], class_path: Path) -> list[str]:
    if not wanted:
        return [name for name in have if not name.startswith(f"{CONFIDENTIAL}/")]
    problems = []
    for one in wanted:
        if not any(_is(name, one) for name in have):
            folders = sorted({name.partition("/")[0] for name in have if "/" in name})
            plain = [name for name in have if "/" not in name]
            right = f"choose from: {', '.join([*folders, *plain])}"
            problems.append(Problem(Spot(str(class_path), 1), f"there is no sheet '{one}'", right))
    if problems:
        raise LessonError(problems)
    return [name for name in have if any(_is(name, one) for one in wanted)]


def _is(name: str, wanted: str) -> bool:
    """Whether a sheet is the one wanted, by its file or by its folder; capitals are no other name."""
    one = wanted.removesuffix(".pdf").rstrip("/").casefold()
    return name.casefold() == one or name.casefold().startswith(f"{one}/")


def _pdfium(class_path: Path) -> Any:
    try:
        import PIL.Image  # noqa: F401
        import pypdfium2
    except ImportError:
        raise LessonError(
            [
                Problem(
                    Spot(str(class_path), 1),
                    "pictures need the package pypdfium2, which is not installed",
                    "install it with: pip install 'classpack[preview]'",
                )
            ]
        ) from None
    return pypdfium2
