"""The complete pack, tagged, against two general printers of web pages given the same words; and how it grows to 120 people.

Chromium prints by its command line (``chromium``, tagged PDF by default), WeasyPrint by its library (tagged as PDF/UA-1). Both are
optional: what is not installed is left out. They get each sheet's page text as a plain HTML page of the same words, tables and
page breaks, with a style of a few lines, so what they lay out is simpler than what the pack draws.

Run: python tests/benchmarks/peers.py [people ...]      (not a test: nothing is asserted)
"""

from __future__ import annotations

import importlib.util
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from html import escape
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(Path(__file__).parent)]

from pack import class_of  # noqa: E402

from classpack import workshop  # noqa: E402
from classpack.class_files import read_sources  # noqa: E402
from classpack.pages.pack_templates import pack_templates  # noqa: E402
from classpack.places import own_folder  # noqa: E402
from classpack.planning.plan.plan_class import plan_class  # noqa: E402
from classpack.sheets.pack import pack_jobs  # noqa: E402
from classpack.typeset.page_text import Element, Sheet  # noqa: E402
from classpack.typeset.pdf import SheetPart, draw, draw_pack  # noqa: E402

STYLE = """
@page { size: A4; margin: 13mm 15mm 16mm }
body { font: 12.5px/1.3 "Source Sans 3", "Noto Sans", sans-serif }
section { break-before: page } .entry { break-inside: avoid; margin: 6px 0 6px 76px }
table { border-collapse: collapse; width: 100% } td, th { border-bottom: .4px solid; text-align: left; vertical-align: top }
.caution { border: 1px solid; padding: 6px; margin: 6px 0 }
"""
TAGS = {
    "entry": "div", "caution": "div", "side": "div", "text": "p", "heading": "h2", "ready": "p", "list": "ul", "item": "li", "table": "table",
    "weigh": "table", "row": "tr", "head": "tr", "part": "tr", "sum": "tr", "group": "tr", "cell": "td", "strong": "strong", "em": "em",
    "columns": "div", "column": "div", "keep": "div", "label": "p", "labels": "div", "stretch": "p", "lane": "div", "strip": "p",
}  # fmt: skip
SHOWN = ("clock", "minutes", "about", "number", "head", "word", "hazard", "when", "grams", "percent", "title", "deck", "over")  # fmt: skip


def html_of(element: Element) -> str:
    """An element's words as plain HTML, attributes that print among them."""
    given = [str(element.values[name]) for name in SHOWN if element.values.get(name)]
    inner = "".join(escape(c) if isinstance(c, str) else html_of(c) for c in element.children)
    if element.tag in ("part", "sum"):
        cells = "".join(f"<td>{escape(text)}</td>" for text in given)
        return f"<tr>{cells}<td>{inner}</td></tr>"
    if element.tag == "group":
        return f"<tr><th colspan=9>{inner}</th></tr>"
    if element.tag in ("br", "page-break"):
        return "<br>" if element.tag == "br" else "<div style='break-after: page'></div>"
    if element.tag == "masthead":
        title, *rest = [escape(str(element.values.get(n) or "")) for n in ("title", "over", "deck")]
        return f"<h1>{title}</h1><p>{' · '.join(rest)}</p>"
    tag = TAGS.get(element.tag, "span")
    words = f"<b>{escape(' '.join(given))}</b> " if given and tag != "table" else ""
    return f'<{tag} class="{element.tag}">{words}{inner}</{tag}>'


def page_of(sheets: list[Sheet]) -> str:
    body = "".join(
        f"<section>{''.join(html_of(e) for e in one.element.elements())}</section>"
        for one in sheets
    )
    return f"<!DOCTYPE html><html lang=en><meta charset=utf-8><title>pack</title><style>{STYLE}</style>{body}"


def pages_in(data: bytes) -> int:
    import io

    from pypdf import PdfReader

    return len(PdfReader(io.BytesIO(data)).pages)


def timed(run: Callable[[], bytes], times: int) -> tuple[float, bytes]:
    """The quickest of some runs in seconds, and what it made."""
    best, made = float("inf"), b""
    for _ in range(times):
        began = time.perf_counter()
        made = run()
        best = min(best, time.perf_counter() - began)
    return best, made


def chromium(page: str, folder: Path) -> bytes:
    (folder / "pack.html").write_text(page, "utf-8")
    quiet = (
        "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
        "--disable-component-update", "--disable-sync", "--no-pdf-header-footer",
    )  # fmt: skip
    subprocess.run(
        [
            "chromium", *quiet, f"--user-data-dir={folder / 'profile'}", f"--print-to-pdf={folder / 'out.pdf'}",
            (folder / "pack.html").as_uri(),
        ],
        check=True,
        capture_output=True,
    )  # fmt: skip
    return (folder / "out.pdf").read_bytes()


def weasyprint(page: str) -> bytes:
    from weasyprint import HTML

    return HTML(string=page).write_pdf(pdf_variant="pdf/ua-1") or b""


def measured(people: int, folder: Path) -> None:
    for lesson in (ROOT / "lessons").glob("*.yaml"):
        (folder / lesson.name).write_bytes(lesson.read_bytes())
    path = class_of(people, folder)
    templates = own_folder("templates")
    planned = plan_class(read_sources(path, templates))
    plan = planned.plan
    look = workshop.pack_look(planned, "A4", templates)
    filled = pack_templates(templates, plan.day, plan.kitchen)
    shown = {"plan": plan, "lesson": plan.lesson, "day": plan.day, "kitchen": plan.kitchen, "paper": "A4"}  # fmt: skip
    groups = [
        filled.pages(f"pdf/{job.template}.xml", **(shown | job.values)) for job in pack_jobs(plan)
    ]
    parts = [SheetPart(group[0].title, group) for group in groups]

    def ours() -> bytes:
        return draw_pack(parts, look, title="pack", language="en").pack

    def said(name: str, seconds: float, data: bytes) -> None:
        pages = pages_in(data)
        print(
            f"  {name:28} {seconds:6.2f} s {pages:5} pages {1000 * seconds / pages:6.1f} ms a page"
        )

    print(f"{people} people")
    times = 3 if people <= 24 else 1
    ours()
    said("this pack, joined and single", *timed(ours, times))
    sheets = [sheet for group in groups for sheet in group]
    said(
        "the joined file alone",
        *timed(lambda: draw(sheets, look, title="pack", language="en"), times),
    )
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"  {'most memory so far':28} {most:6.0f} MiB")
    page = page_of(sheets)
    if shutil.which("chromium"):
        said("Chromium", *timed(lambda: chromium(page, folder), times))
    if importlib.util.find_spec("weasyprint"):
        said("WeasyPrint", *timed(lambda: weasyprint(page), 1))


if __name__ == "__main__":
    for count in map(int, sys.argv[1:] or ("12", "30", "60", "120")):
        with tempfile.TemporaryDirectory() as name:
            measured(count, Path(name))
