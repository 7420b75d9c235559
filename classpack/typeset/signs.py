"""Safety signs, drawn here from described geometry; no drawing file of anybody is used.

Ids and registered names follow the list of ISO 7010:2019 with amendments. Shapes, smallest shares of safety colour and
what each symbol shows: Directive 92/58/EEC as restated in UK MGN 556 annex 2; proportions of triangle, ring and bar were
measured on public-domain drawings of the set. Symbols are our own and lie in a unit square, y downwards.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from classpack.typeset.sign_names import SIGNS
from classpack.typeset.tagged_canvas import TaggedCanvas

SIGN_NAMES: Mapping[str, str] = SIGNS

TRIANGLE_HEIGHT = 0.873
BORDER = 0.053
"""Stroke of the warning triangle; ring and bar of a prohibition are 0.100 and 0.080, all parts of the width."""

_K = 0.5523  # control points of a quarter circle


def _dot(x: float, y: float, r: float) -> str:
    k = r * _K
    return (
        f"M{x - r} {y} C{x - r} {y - k} {x - k} {y - r} {x} {y - r} C{x + k} {y - r} {x + r} {y - k} {x + r} {y} "
        f"C{x + r} {y + k} {x + k} {y + r} {x} {y + r} C{x - k} {y + r} {x - r} {y + k} {x - r} {y} Z"
    )


def _rect(x: float, y: float, width: float, height: float) -> str:
    return f"M{x} {y} L{x + width} {y} L{x + width} {y + height} L{x} {y + height} Z"


def _waves(xs: tuple[float, ...], top: float, foot: float, lean: float) -> str:
    third = (foot - top) / 3
    return " ".join(
        f"M{x} {foot} C{x + lean} {foot - third} {x - lean} {top + third} {x} {top}" for x in xs
    )


# A symbol is a list of strokes: how it is painted, and a path of M, L, C and Z. ``fill`` and a width paint in the symbol's
# colour, ``-fill`` and ``-0.03`` in the ground's (to cut a part out again).
_Symbol = tuple[tuple[str, str], ...]


def _flame(x: float, foot: float, w: float, h: float) -> str:
    """A flame of three tongues, ``w`` wide and ``h`` high, its foot centred on x."""
    a, b = x - w / 2, x + w / 2
    top = foot - h
    return (
        f"M{x - w * 0.18} {foot} C{a} {foot} {a - w * 0.05} {foot - h * 0.32} {a + w * 0.12} {foot - h * 0.55} "
        f"C{a + w * 0.16} {foot - h * 0.42} {a + w * 0.22} {foot - h * 0.36} {a + w * 0.30} {foot - h * 0.36} "
        f"C{x - w * 0.16} {foot - h * 0.66} {x + w * 0.02} {foot - h * 0.78} {x + w * 0.02} {top} "
        f"C{x + w * 0.22} {foot - h * 0.80} {x + w * 0.24} {foot - h * 0.56} {x + w * 0.20} {foot - h * 0.38} "
        f"C{x + w * 0.30} {foot - h * 0.40} {b - w * 0.14} {foot - h * 0.50} {b - w * 0.12} {foot - h * 0.60} "
        f"C{b + w * 0.06} {foot - h * 0.34} {b} {foot} {x + w * 0.18} {foot} Z"
    )


_SYMBOLS: Mapping[str, _Symbol] = {
    "W001": (
        (
            "fill",
            "M.438 .335 C.438 .245 .562 .245 .562 .335 L.53 .595 C.525 .64 .475 .64 .47 .595 Z",
        ),
        ("fill", _dot(0.5, 0.705, 0.0625)),
    ),
    "W007": (
        ("fill", _dot(0.635, 0.455, 0.045)),
        ("0.062", "M.59 .525 L.47 .60"),
        ("0.036", "M.585 .525 L.655 .575 L.70 .555 M.575 .53 L.49 .50 L.45 .535"),
        ("0.045", "M.47 .60 L.545 .67 L.515 .735 M.465 .60 L.37 .625 L.315 .585"),
        ("fill", _rect(0.56, 0.725, 0.155, 0.05) + _rect(0.27, 0.765, 0.46, 0.014)),
    ),
    "W011": (
        ("fill", _dot(0.405, 0.435, 0.046)),
        ("0.062", "M.435 .505 L.52 .61"),
        ("0.045", "M.52 .61 L.665 .575 M.52 .61 L.60 .69"),
        ("0.036", "M.44 .51 L.345 .575 M.45 .515 L.55 .465"),
        ("fill", _rect(0.25, 0.738, 0.50, 0.04)),
    ),
    "W012": (
        (
            "fill",
            "M.535 .275 L.395 .545 L.49 .545 L.445 .665 L.405 .645 L.425 .78 L.535 .70 L.495 .685 L.585 .475 L.49 .475 L.575 .275 Z",
        ),
    ),
    "W017": (
        ("fill", _rect(0.292, 0.728, 0.416, 0.042)),
        ("0.034", _waves((0.404, 0.506, 0.608), 0.392, 0.685, 0.085)),
    ),
    "W018": tuple(
        ("fill", path)
        for path in (
            "M.485 .415 C.60 .40 .68 .49 .672 .60 L.712 .60 L.645 .69 L.575 .60 L.615 .60 C.615 .53 .565 .475 .485 .475 Z",
            "M.625 .715 C.55 .80 .42 .79 .355 .70 L.32 .72 L.315 .61 L.42 .64 L.39 .66 C.43 .72 .51 .735 .58 .68 Z",
            "M.33 .585 C.325 .51 .37 .44 .435 .42 L.42 .385 L.53 .415 L.47 .51 L.455 .475 C.41 .50 .39 .54 .392 .59 Z",
        )
    ),
    "W022": (
        ("fill", "M.30 .555 L.40 .51 L.47 .51 L.47 .72 L.40 .745 L.30 .72 Z"),
        ("0.052", "M.45 .535 L.565 .535 M.45 .598 L.60 .598 M.45 .661 L.59 .661 M.45 .72 L.55 .72"),
        ("0.05", "M.375 .52 L.455 .445"),
        ("-0.026", "M.515 .50 L.545 .56 L.505 .60 L.545 .645 L.51 .69 L.53 .745"),
        ("fill", "M.635 .335 L.685 .43 L.685 .775 L.635 .775 Z"),
    ),
    "W024": (
        ("fill", _rect(0.28, 0.735, 0.44, 0.034) + _rect(0.35, 0.478, 0.30, 0.032)),
        ("fill", "M.482 .31 L.518 .31 L.518 .395 L.555 .395 L.50 .462 L.445 .395 L.482 .395 Z"),
        ("fill", "M.73 .695 L.73 .60 L.60 .575 L.54 .60 L.54 .71 L.62 .71 Z"),
        ("0.038", "M.56 .60 L.39 .60 M.56 .648 L.365 .648 M.56 .693 L.39 .693"),
        ("0.036", "M.60 .588 L.535 .555"),
    ),
    "W071": (
        ("fill", _dot(0.5, 0.385, 0.075)),
        (
            "fill",
            "M.335 .765 L.335 .60 C.335 .52 .39 .485 .45 .478 L.55 .478 C.61 .485 .665 .52 .665 .60 L.665 .765 Z",
        ),
        (
            "-fill",
            "M.50 .50 L.523 .585 L.60 .545 L.555 .615 L.635 .64 L.555 .665 L.595 .735 L.522 .695 L.50 .765 L.478 .695 L.405 .735 L.445 .665 L.365 .64 L.445 .615 L.40 .545 L.477 .585 Z",
        ),
    ),
    "W079": (
        ("0.030", _dot(0.5, 0.58, 0.188)),
        ("0.030", _waves((0.425, 0.5, 0.575), 0.485, 0.675, 0.055)),
    ),
    "W080": (
        ("0.036", "M.425 .385 L.575 .385"),
        ("0.034", "M.462 .435 L.395 .545 M.50 .435 L.50 .555 M.538 .435 L.605 .545"),
        (
            "fill",
            _dot(0.385, 0.705, 0.066)
            + " "
            + _dot(0.5, 0.672, 0.082)
            + " "
            + _dot(0.615, 0.705, 0.066),
        ),
        ("fill", _rect(0.385, 0.70, 0.23, 0.071)),
    ),
    "W088": (
        ("fill", _dot(0.53, 0.50, 0.038)),
        (
            "fill",
            "M.53 .50 C.47 .45 .45 .36 .50 .30 C.57 .32 .58 .42 .53 .50 Z M.53 .50 C.60 .47 .69 .50 .72 .565 C.68 .61 .58 .59 .53 .50 Z M.53 .50 C.535 .58 .49 .64 .42 .645 C.39 .58 .44 .51 .53 .50 Z",
        ),
        ("fill", "M.27 .775 L.35 .655 L.405 .685 L.40 .775 Z"),
        (
            "0.034",
            "M.36 .675 L.405 .60 M.385 .685 L.445 .63 M.39 .715 L.47 .685 M.39 .745 L.475 .74",
        ),
    ),
    "M001": (
        ("fill", "M.40 .19 C.40 .085 .60 .085 .60 .19 L.555 .625 C.545 .69 .455 .69 .445 .625 Z"),
        ("fill", _dot(0.5, 0.79, 0.095)),
    ),
    "M002": (
        ("fill", _dot(0.5, 0.27, 0.115)),
        (
            "fill",
            "M.27 .60 C.28 .47 .36 .41 .44 .405 L.56 .405 C.64 .41 .72 .47 .73 .60 L.60 .56 L.50 .60 L.40 .56 Z",
        ),
        (
            "fill",
            "M.18 .60 C.30 .575 .42 .59 .488 .64 L.488 .86 C.42 .81 .30 .80 .18 .82 Z M.82 .60 C.70 .575 .58 .59 .512 .64 L.512 .86 C.58 .81 .70 .80 .82 .82 Z",
        ),
    ),
    "M006": (
        ("fill", _rect(0.20, 0.20, 0.055, 0.60)),
        ("fill", "M.43 .40 L.56 .40 C.64 .40 .68 .45 .68 .50 C.68 .55 .64 .60 .56 .60 L.43 .60 Z"),
        ("0.05", "M.33 .45 L.43 .45 M.33 .55 L.43 .55 M.68 .50 L.86 .50"),
        ("fill", "M.42 .235 L.66 .235 L.66 .185 L.76 .265 L.66 .345 L.66 .295 L.42 .295 Z"),
        ("0.055", "M.47 .66 L.56 .76 M.56 .655 L.62 .745"),
        ("fill", "M.50 .73 L.66 .66 L.74 .72 L.70 .83 L.58 .84 Z"),
    ),
    "M009": (
        (
            "fill",
            "M.25 .84 L.25 .62 L.19 .50 C.16 .43 .24 .40 .28 .46 L.31 .50 L.30 .27 C.30 .20 .38 .20 .385 .27 L.40 .22 C.42 .16 .49 .18 .48 .25 L.485 .26 C.52 .21 .565 .24 .555 .30 L.54 .62 L.54 .84 Z",
        ),
        ("-0.018", "M.385 .27 L.39 .44 M.475 .25 L.465 .44 M.24 .74 L.55 .74"),
        (
            "0.026",
            "M.60 .80 L.76 .80 L.76 .62 L.81 .49 C.83 .42 .76 .40 .73 .46 L.70 .50 L.70 .30 C.70 .24 .64 .24 .63 .30 L.61 .52",
        ),
        ("0.026", "M.60 .72 L.76 .72"),
    ),
    "M011": (
        (
            "fill",
            "M.30 .20 L.55 .20 C.63 .20 .66 .25 .66 .31 L.66 .36 L.57 .36 L.57 .32 C.57 .30 .56 .29 .54 .29 L.30 .29 Z",
        ),
        ("0.05", "M.40 .20 L.40 .14 M.33 .13 L.47 .13"),
        (
            "fill",
            _dot(0.615, 0.425, 0.026)
            + " "
            + _dot(0.56, 0.475, 0.022)
            + " "
            + _dot(0.665, 0.49, 0.022),
        ),
        ("0.075", "M.18 .66 L.36 .58 L.56 .56 M.30 .655 L.58 .625 M.31 .715 L.60 .69"),
        ("fill", "M.17 .61 L.34 .54 L.42 .66 L.40 .76 L.17 .80 Z"),
        ("0.07", "M.84 .74 L.70 .84 L.46 .84 M.66 .76 L.48 .775"),
        ("fill", "M.86 .66 L.72 .74 L.62 .80 L.70 .90 L.86 .82 Z"),
    ),
    "P003": (
        ("0.07", "M.30 .76 L.52 .46"),
        ("fill", _flame(0.59, 0.50, 0.26, 0.30)),
    ),
    "P010": (
        ("fill", _rect(0.27, 0.70, 0.30, 0.055)),
        ("fill", "M.60 .24 L.74 .38 L.66 .52 L.52 .56 L.44 .46 Z"),
        (
            "0.062",
            "M.48 .47 L.33 .58 L.31 .66 M.53 .52 L.42 .62 L.41 .66 M.59 .53 L.51 .62 L.50 .66 M.64 .49 L.61 .58 L.59 .65",
        ),
    ),
    "P011": (
        ("fill", "M.24 .30 L.44 .22 L.52 .42 L.37 .49 Z"),
        ("0.03", "M.23 .30 C.20 .20 .36 .14 .43 .21"),
        ("0.045", "M.53 .44 C.58 .47 .60 .50 .61 .54 M.48 .47 C.53 .50 .55 .53 .56 .57"),
        ("fill", _flame(0.60, 0.80, 0.30, 0.25)),
    ),
    "P022": (
        ("fill", "M.20 .50 C.20 .35 .50 .35 .50 .50 Z"),
        ("fill", "M.20 .60 L.50 .60 C.50 .68 .20 .68 .20 .60 Z"),
        ("0.045", "M.205 .55 L.495 .55"),
        ("fill", "M.57 .42 L.79 .42 L.755 .69 L.605 .69 Z"),
        ("0.035", "M.68 .42 L.71 .24 L.77 .22"),
    ),
    "F001": (
        ("fill", "M.20 .36 C.20 .28 .40 .28 .40 .36 L.40 .84 L.20 .84 Z"),
        ("fill", _rect(0.265, 0.20, 0.07, 0.10)),
        ("0.035", "M.22 .19 L.38 .19 M.33 .22 C.46 .22 .48 .32 .48 .46"),
        ("-0.02", "M.20 .52 L.40 .52"),
        ("fill", _flame(0.68, 0.84, 0.32, 0.46)),
    ),
    "F016": (
        ("fill", _dot(0.27, 0.27, 0.075)),
        ("0.085", "M.27 .40 L.27 .60"),
        ("0.055", "M.25 .60 L.19 .84 M.29 .60 L.33 .84 M.28 .40 L.46 .36"),
        ("fill", "M.45 .28 L.60 .28 L.60 .80 C.55 .77 .50 .83 .45 .80 Z"),
        ("fill", _flame(0.77, 0.84, 0.26, 0.40)),
    ),
    "E003": (("fill", _rect(0.375, 0.125, 0.25, 0.75) + " " + _rect(0.125, 0.375, 0.75, 0.25)),),
}


class UnknownSignError(LookupError):
    """There is no drawing for a sign id."""


def known_sign(sign: str) -> None:
    """Raises UnknownSignError for an id that cannot be drawn; a caution never prints without its sign."""
    if sign not in _SYMBOLS:
        raise UnknownSignError(
            f"there is no drawing of sign '{sign}'; there are {', '.join(_SYMBOLS)}"
        )


def sign_strokes(sign: str) -> tuple[tuple[str, str], ...]:
    """The symbol of a sign, stroke by stroke: how each is painted, and its path in the unit square."""
    return _SYMBOLS[sign]


def sign_height(sign: str, width: float) -> float:
    return width * (TRIANGLE_HEIGHT if sign.startswith("W") else 1)


def _path(path: str) -> str:
    """The path in page code."""
    out: list[str] = []
    numbers: list[str] = []
    operator = ""
    for token in (
        path.replace("M", " M ").replace("L", " L ").replace("C", " C ").replace("Z", " Z ").split()
    ):
        if token in "MLCZ":
            operator = token
            if token == "Z":
                out.append("h")
            numbers = []
            continue
        numbers.append(f"{float(token):.4g}")
        if len(numbers) == (6 if operator == "C" else 2):
            out.append(f"{' '.join(numbers)} {operator.lower()}")
            numbers = []
    return " ".join(out)


def sign_code(sign: str, colours: Mapping[str, str]) -> str:
    """Page code of a sign in a unit square whose origin is its top left and whose y runs down."""
    known_sign(sign)
    return _code(sign, *(colours[name] for name in _COLOURS))


_COLOURS = ("ink", "white", "yellow", "red", "blue", "green")


@cache
def _code(sign: str, ink: str, white: str, yellow: str, red: str, blue: str, green: str) -> str:
    disc = _path(_dot(0.5, 0.5, 0.5))
    match sign[0]:
        case "W":
            ground, symbol = yellow, ink
            base = f"{ground} rg {ink} RG {BORDER} w 1 j .5 .0265 m .0265 .8465 l .9735 .8465 l h B"
        case "P":
            ground, symbol = white, ink
            base = f"{white} rg {disc} f"
        case "M":
            ground, symbol = blue, white
            base = f"{ground} rg {disc} f"
        case _:
            ground, symbol = green if sign[0] == "E" else red, white
            base = f"{ground} rg {_path(_rect(0, 0, 1, 1))} f {white} RG .025 w .0125 .0125 .975 .975 re S"
    code = [base, f"1 J 1 j {symbol} rg {symbol} RG"]
    for paint, path in _SYMBOLS[sign]:
        cut = paint.startswith("-")
        how = paint.lstrip("-")
        colour = f"{ground} rg {ground} RG " if cut else ""
        back = f" {symbol} rg {symbol} RG" if cut else ""
        drawn = "f" if how == "fill" else "S"
        width = "" if how == "fill" else f"{how} w "
        code.append(f"{colour}{width}{_path(path)} {drawn}{back}")
    if sign[0] == "P":
        code.append(
            f"{red} RG .1 w {_path(_dot(0.5, 0.5, 0.45))} S 0 J .08 w .19 .19 m .81 .81 l S"
        )
    return " ".join(code)


def draw_sign(
    c: TaggedCanvas, sign: str, x: float, y: float, width: float, colours: Mapping[str, str]
) -> None:
    """Draws a sign with its foot on y and its left side on x. The caller tags the figure.

    Raises:
        UnknownSignError: there is no such drawing.
    """
    height = sign_height(sign, width)
    c.code(
        f"q {width:.3f} 0 0 {-width:.3f} {x:.2f} {y + height:.2f} cm [] 0 d {sign_code(sign, colours)} Q"
    )
