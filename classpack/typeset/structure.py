"""The structure tree of a tagged PDF (ISO 32000-1, 14.7): its elements and how they are written."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from reportlab.pdfbase.pdfdoc import PDFObject, PDFString

Attributes = dict[str, Any]

_Object: Any = PDFObject


@dataclass(slots=True, eq=False)
class Branch:
    """A structure element. ``kids`` are branches, (page, content number) pairs, or (page, annotation name)."""

    tag: str
    attributes: Attributes
    kids: list[Any] = field(default_factory=list)
    number: int = 0


class BranchObject(_Object):  # type: ignore[misc]
    """Writes a branch straight to bytes: a pack has thousands, and the general writer takes its time."""

    __RefOnly__ = 1

    def __init__(self, branch: Branch, parent: str) -> None:
        self.branch, self.parent = branch, parent

    def format(self, document: Any) -> bytes:
        numbers = document.idToObjectNumberAndVersion
        branch, page = self.branch, _first_page(self.branch)
        kids: list[str] = []
        for kid in branch.kids:
            if isinstance(kid, Branch):
                kids.append(f"{numbers[f'Branch{kid.number}'][0]} 0 R")
            elif isinstance(kid[1], str):
                kids.append(
                    f"<</Type/OBJR/Obj {numbers[kid[1]][0]} 0 R/Pg {numbers[f'Page{kid[0]}'][0]} 0 R>>"
                )
            elif kid[0] == page:
                kids.append(str(kid[1]))
            else:
                kids.append(f"<</Type/MCR/Pg {numbers[f'Page{kid[0]}'][0]} 0 R/MCID {kid[1]}>>")
        out = f"<</S/{branch.tag}/P {numbers[self.parent][0]} 0 R/K[{' '.join(kids)}]".encode()
        if page:
            out += f"/Pg {numbers[f'Page{page}'][0]} 0 R".encode()
        attributes = branch.attributes
        for key, name in (
            ("alt", b"/Alt"),
            ("actual", b"/ActualText"),
            ("lang", b"/Lang"),
            ("title", b"/T"),
        ):
            if attributes.get(key):
                out += name + PDFString(attributes[key]).format(document)
        extra = ""
        if branch.tag == "TH":
            extra += f"<</O/Table/Scope/{attributes.get('scope', 'Column')}>>"
        if attributes.get("span", 1) > 1:
            extra += f"<</O/Table/ColSpan {attributes['span']}>>"
        if branch.tag == "L":
            extra += f"<</O/List/ListNumbering/{attributes.get('numbering', 'None')}>>"
        if "bbox" in attributes:
            box = " ".join(f"{v:.2f}" for v in attributes["bbox"])
            extra += f"<</O/Layout/Placement/Block/BBox[{box}]>>"
        return out + (f"/A[{extra}]" if extra else "").encode() + b">>"


def _first_page(branch: Branch) -> int:
    """The first page a branch has content on; 0 for none."""
    for kid in branch.kids:
        page = _first_page(kid) if isinstance(kid, Branch) else int(kid[0])
        if page:
            return page
    return 0


class TreeRoot(_Object):  # type: ignore[misc]
    """The structure tree's root with the table that leads from page content back to its element."""

    __RefOnly__ = 1

    def __init__(self, pages: list[list[Branch]], links: list[Branch]) -> None:
        self.pages, self.links = pages, links

    def format(self, document: Any) -> bytes:
        numbers = document.idToObjectNumberAndVersion

        def ref(branch: Branch) -> str:
            return f"{numbers[f'Branch{branch.number}'][0]} 0 R"

        nums = [f"{key} [{' '.join(map(ref, marks))}]" for key, marks in enumerate(self.pages)]
        nums += [f"{len(self.pages) + key} {ref(branch)}" for key, branch in enumerate(self.links)]
        return (
            f"<</Type/StructTreeRoot/K[{numbers['Branch0'][0]} 0 R]/ParentTree<</Nums[{' '.join(nums)}]>>"
            f"/ParentTreeNextKey {len(self.pages) + len(self.links)}>>"
        ).encode()
