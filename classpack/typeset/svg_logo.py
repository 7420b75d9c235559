"""The simple kind of SVG drawing, as page code: filled and stroked shapes in plain colours, and nothing else.

What is taken, of Scalable Vector Graphics 1.1 (W3C, 2011): ``svg`` with a ``viewBox`` or a size, ``g``, ``path`` (all
commands but arcs), ``rect`` without round corners, ``circle``, ``ellipse``, ``line``, ``polyline``, ``polygon``; ``fill``,
``stroke``, ``stroke-width``, ``fill-rule`` in plain colours; ``transform`` of any of its kinds but ``skew``. Text, pictures,
gradients, style sheets, scripts, links and everything that fetches are refused by name, never left out silently.
"""

from __future__ import annotations

import math
import re
import xml.parsers.expat
from dataclasses import dataclass

MOST_ELEMENTS = 2_000
MOST_NUMBERS = 100_000
_SPACE = "http://www.w3.org/2000/svg"
_SILENT = ("title", "desc", "metadata")
_SHAPES = ("path", "rect", "circle", "ellipse", "line", "polyline", "polygon")
_PAINT = ("fill", "stroke", "stroke-width", "fill-rule")
_WORDS = {"black": "000000", "white": "ffffff"}
_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,2})?")
_K = 0.5523  # control points of a quarter circle
_HARMLESS = {
    "id", "version", "width", "height", "viewBox", "class", "role", "preserveAspectRatio", "d", "points",
    "x", "y", "x1", "y1", "x2", "y2", "cx", "cy", "r", "transform", "space", "style", *_PAINT,
}  # fmt: skip


class NotSimple(Exception):
    """The drawing holds something that is not taken; the message goes on from the file's name."""


@dataclass(frozen=True, slots=True)
class Drawing:
    """``code`` is page code in the drawing's own units, y downwards; ``box`` its left, top, width and height."""

    code: str
    box: tuple[float, float, float, float]


def read_drawing(data: bytes) -> Drawing:
    """The drawing in an SVG file.

    Raises:
        NotSimple: with what it holds that is not taken.
    """
    reader = _Reader()
    parser = xml.parsers.expat.ParserCreate(namespace_separator=" ")
    parser.StartElementHandler = reader.start
    parser.EndElementHandler = reader.end
    parser.StartDoctypeDeclHandler = reader.doctype
    try:
        parser.Parse(data, True)
    except xml.parsers.expat.ExpatError:
        raise NotSimple("is no well-formed SVG file") from None
    if reader.box is None or not reader.out:
        raise NotSimple("draws nothing")
    return Drawing(" ".join(reader.out), reader.box)


class _Reader:
    def __init__(self) -> None:
        self.out: list[str] = []
        self.box: tuple[float, float, float, float] | None = None
        self.paints: list[dict[str, str]] = [{"fill": "black", "stroke": "none"}]
        self.silent = 0
        self.count = 0
        self.numbers = 0

    def doctype(self, *_: object) -> None:
        raise NotSimple("has a document type declaration")

    def start(self, name: str, attributes: dict[str, str]) -> None:
        self.count += 1
        if self.count > MOST_ELEMENTS:
            raise NotSimple(f"has more than {MOST_ELEMENTS} shapes")
        space, _, tag = name.rpartition(" ")
        if self.silent or (space == _SPACE and tag in _SILENT):
            self.silent += 1
            return
        if space != _SPACE or tag not in ("svg", "g", *_SHAPES):
            raise NotSimple(f"holds <{tag}>")
        if (tag == "svg") != (self.box is None):
            raise NotSimple("is not one <svg> drawing")
        paint = self.painted(attributes)
        self.paints.append(paint)
        if tag == "svg":
            self.box = _view(attributes)
            return
        if transform := attributes.get("transform"):
            self.out.append(f"q {_moved(transform)}")
        if tag in _SHAPES:
            path = self.shape(tag, attributes)
            if path:
                self.out.append(_drawn(path, paint, closed=tag not in ("line",)))

    def end(self, name: str) -> None:
        if self.silent:
            self.silent -= 1
            return
        paint = self.paints.pop()
        if paint.get("moved"):
            self.out.append("Q")

    def painted(self, attributes: dict[str, str]) -> dict[str, str]:
        """What the element is painted with: its own, else what its parents say."""
        paint = {name: value for name, value in self.paints[-1].items() if name != "moved"}
        given = {name.rpartition(" ")[2]: value.strip() for name, value in attributes.items()}
        for part in filter(None, (p.strip() for p in given.get("style", "").split(";"))):
            name, _, value = part.partition(":")
            given[name.strip()] = value.strip()
        for name, value in given.items():
            if name in ("opacity", "fill-opacity", "stroke-opacity") and value in ("1", "1.0"):
                continue
            if (
                name not in _HARMLESS
                and not (name in ("rx", "ry") and "cx" in given)
                and not name.startswith(("stroke-line", "stroke-miter", "data-", "aria-"))
            ):
                raise NotSimple(f"uses '{name}'")
            if name in _PAINT:
                paint[name] = value
        for name in ("fill", "stroke"):
            _colour(paint[name])
        if "transform" in given:
            paint["moved"] = "yes"
        return paint

    def of(self, attributes: dict[str, str], name: str) -> float:
        return _length(attributes.get(name, "0"), name)

    def shape(self, tag: str, a: dict[str, str]) -> str:
        match tag:
            case "path":
                numbers = _NUMBER.findall(a.get("d", ""))
                self.numbers += len(numbers)
                if self.numbers > MOST_NUMBERS:
                    raise NotSimple("is too large a drawing")
                return _path(a.get("d", ""))
            case "rect":
                return f"{self.of(a, 'x'):.4g} {self.of(a, 'y'):.4g} {self.of(a, 'width'):.4g} {self.of(a, 'height'):.4g} re"
            case "circle" | "ellipse":
                rx, ry = (
                    (self.of(a, "r"),) * 2
                    if tag == "circle"
                    else (self.of(a, "rx"), self.of(a, "ry"))
                )
                return _oval(self.of(a, "cx"), self.of(a, "cy"), rx, ry)
            case "line":
                return f"{self.of(a, 'x1'):.4g} {self.of(a, 'y1'):.4g} m {self.of(a, 'x2'):.4g} {self.of(a, 'y2'):.4g} l"
            case _:
                points = [float(n) for n in _NUMBER.findall(a.get("points", ""))]
                if len(points) < 4 or len(points) % 2:
                    raise NotSimple(f"has a {tag} without points")
                pairs = list(zip(points[::2], points[1::2], strict=True))
                code = [f"{x:.5g} {y:.5g} {'l' if n else 'm'}" for n, (x, y) in enumerate(pairs)]
                return " ".join(code) + (" h" if tag == "polygon" else "")


def _view(a: dict[str, str]) -> tuple[float, float, float, float]:
    numbers = [float(n) for n in _NUMBER.findall(a.get("viewBox", ""))]
    if len(numbers) != 4:
        numbers = [
            0,
            0,
            _length(a.get("width", ""), "width"),
            _length(a.get("height", ""), "height"),
        ]
    left, top, wide, high = numbers
    if not (0 < wide < 1e6 and 0 < high < 1e6 and abs(left) < 1e6 and abs(top) < 1e6):
        raise NotSimple("says no size")
    if not 1 / 20 <= wide / high <= 20:
        raise NotSimple("is far longer than it is wide")
    return left, top, wide, high


def _length(text: str, name: str) -> float:
    match = re.fullmatch(rf"({_NUMBER.pattern})(?:px)?", text.strip())
    if not match:
        raise NotSimple(f"has '{name}' as '{text[:20]}'")
    return float(match[1])


def _colour(text: str) -> str:
    """A colour as page code, empty for none."""
    if text in ("none", "transparent"):
        return ""
    digits = _WORDS.get(text.lower(), text.removeprefix("#"))
    if re.fullmatch("[0-9A-Fa-f]{3}", digits):
        digits = "".join(2 * sign for sign in digits)
    if not re.fullmatch("[0-9A-Fa-f]{6}", digits):
        raise NotSimple(f"has the colour '{text[:30]}'")
    return " ".join(f"{int(digits[i : i + 2], 16) / 255:.3g}" for i in (0, 2, 4))


def _drawn(path: str, paint: dict[str, str], closed: bool) -> str:
    fill, stroke = _colour(paint["fill"]) if closed else "", _colour(paint["stroke"])
    even = "*" if paint.get("fill-rule") == "evenodd" else ""
    if not fill and not stroke:
        return ""
    code = f"{fill} rg " if fill else ""
    if stroke:
        code += f"{stroke} RG {_length(paint.get('stroke-width', '1'), 'stroke-width'):.4g} w "
    how = ("B" if stroke else "f") + even if fill else "S"
    return f"{code}{path} {how}"


def _oval(x: float, y: float, rx: float, ry: float) -> str:
    kx, ky = rx * _K, ry * _K
    return (
        f"{x - rx:.5g} {y:.5g} m {x - rx:.5g} {y - ky:.5g} {x - kx:.5g} {y - ry:.5g} {x:.5g} {y - ry:.5g} c "
        f"{x + kx:.5g} {y - ry:.5g} {x + rx:.5g} {y - ky:.5g} {x + rx:.5g} {y:.5g} c "
        f"{x + rx:.5g} {y + ky:.5g} {x + kx:.5g} {y + ry:.5g} {x:.5g} {y + ry:.5g} c "
        f"{x - kx:.5g} {y + ry:.5g} {x - rx:.5g} {y + ky:.5g} {x - rx:.5g} {y:.5g} c h"
    )


def _moved(text: str) -> str:
    """A transform as page code."""
    code = []
    rest = text.strip()
    while rest:
        match = re.match(r"(\w+)\s*\(([^)]*)\)[\s,]*", rest)
        if not match:
            raise NotSimple(f"has the transform '{text[:30]}'")
        n = [float(x) for x in _NUMBER.findall(match[2])]
        rest = rest[match.end() :]
        match match[1], len(n):
            case "translate", 1 | 2:
                m = [1, 0, 0, 1, n[0], n[1] if len(n) == 2 else 0]
            case "scale", 1 | 2:
                m = [n[0], 0, 0, n[-1], 0, 0]
            case "matrix", 6:
                m = n
            case "rotate", 1 | 3:
                cos, sin = math.cos(math.radians(n[0])), math.sin(math.radians(n[0]))
                x, y = (n[1], n[2]) if len(n) == 3 else (0.0, 0.0)
                m = [cos, sin, -sin, cos, x - x * cos + y * sin, y - x * sin - y * cos]
            case _:
                raise NotSimple(f"has the transform '{match[0].strip()[:30]}'")
        code.append(" ".join(f"{v:.6g}" if abs(v) > 1e-9 else "0" for v in m) + " cm")
    return " ".join(code)


_NEEDS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "Z": 0}


def _path(d: str) -> str:
    """Path data (SVG 1.1, section 8.3) as page code."""
    tokens = re.findall(rf"[A-Za-z]|{_NUMBER.pattern}", d)
    if re.sub(rf"[A-Za-z]|{_NUMBER.pattern}|[\s,]", "", d):
        raise NotSimple("has a path that cannot be read")
    out: list[str] = []
    x = y = start_x = start_y = 0.0
    control: tuple[float, float] | None = None
    square = False
    at, command = 0, ""
    while at < len(tokens):
        if tokens[at].isalpha():
            command, at = tokens[at], at + 1
        elif command.upper() in ("", "Z"):
            raise NotSimple("has a path that cannot be read")
        upper = command.upper()
        if upper not in _NEEDS:
            raise NotSimple(f"has a path with '{command}'")
        need = _NEEDS[upper]
        try:
            n = [float(t) for t in tokens[at : at + need]]
        except ValueError:
            n = []
        if len(n) < need:
            raise NotSimple("has a path that cannot be read")
        at += need
        if command.islower() and upper not in "HVZ":
            n = [v + (y if i % 2 else x) for i, v in enumerate(n)]
        turned, was_square = control or (x, y), square
        control = None
        match upper:
            case "Z":
                out.append("h")
                x, y = start_x, start_y
                continue
            case "M":
                x, y = start_x, start_y = n[0], n[1]
                out.append(f"{x:.6g} {y:.6g} m")
                command = "l" if command == "m" else "L"
                continue
            case "H" | "V":
                step = n[0] + ((x if upper == "H" else y) if command.islower() else 0)
                x, y = (step, y) if upper == "H" else (x, step)
                out.append(f"{x:.6g} {y:.6g} l")
                continue
            case "L":
                x, y = n
                out.append(f"{x:.6g} {y:.6g} l")
                continue
            case "C" | "S":
                one = (n[0], n[1]) if upper == "C" else _mirrored(turned, x, y, not was_square)
                two, end = (n[-4], n[-3]), (n[-2], n[-1])
                control, square = two, False
            case _:
                q = (n[0], n[1]) if upper == "Q" else _mirrored(turned, x, y, was_square)
                end = (n[-2], n[-1])
                one = (x + 2 / 3 * (q[0] - x), y + 2 / 3 * (q[1] - y))
                two = (end[0] + 2 / 3 * (q[0] - end[0]), end[1] + 2 / 3 * (q[1] - end[1]))
                control, square = q, True
        out.append(" ".join(f"{v:.6g}" for v in (*one, *two, *end)) + " c")
        x, y = end
    if out and not out[0].endswith(" m"):
        raise NotSimple("has a path that does not begin with a move")
    return " ".join(out)


def _mirrored(control: tuple[float, float], x: float, y: float, same: bool) -> tuple[float, float]:
    """The control point of a smooth curve: the last one's, seen from the other side of the current point."""
    return (2 * x - control[0], 2 * y - control[1]) if same else (x, y)
