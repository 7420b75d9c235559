"""Bookings as a form or a spreadsheet exports them: CSV to people, every bad row with its line.

The class file says which column is which (``bookings:``). Text is UTF-8, with or without a byte order mark; columns are
parted by commas, semicolons or tabs, whatever the header row uses; a quoted cell may hold line breaks. A blank need is
'not asked', never 'none'. A name that a spreadsheet would run as a formula is refused: it would be handed on in a register.
"""

from __future__ import annotations

import csv
import io
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, field

from classpack.errors import Problem, Spot
from classpack.model.class_day import Making, MustNotHave, Person, Station
from classpack.reading.class_file import LONGEST_NAME, MOST_PEOPLE, KnownBread
from classpack.reading.sections import nearest

LONGEST_BOOKINGS = 2_000_000
LONGEST_CELL = 2_000
COLUMNS = ("name", "station", "seat", "makes", "needs", "child")
NONE_WRITTEN = ("none", "no needs", "no allergies", "no known allergies")
"""What counts as 'asked, has none' unless the class file says otherwise. 'no' and '-' may mean 'not answered'."""
_FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")
"""Signs with which spreadsheets start a formula (CSV injection; a web-security guide's list, from memory)."""


@dataclass(frozen=True, slots=True)
class Columns:
    """Header names by what they hold. Only ``name`` and ``needs`` must be there; an empty name is 'no such column'.

    ``none_written`` are cell texts that mean 'asked, and has no needs'; a blank cell is 'not asked' and stays so.
    ``makes`` and ``station`` are used where the file has no such column, or the cell is blank.
    """

    name: str
    needs: str
    station: str = ""
    seat: str = ""
    makes: str = ""
    child: str = ""
    none_written: tuple[str, ...] = NONE_WRITTEN
    usual_makes: str = ""
    usual_station: str = ""
    spot: Spot | None = field(default=None, compare=False, repr=False)

    def named(self) -> dict[str, str]:
        """Which header each column has, those that are used."""
        all_of = {
            "name": self.name,
            "station": self.station,
            "seat": self.seat,
            "makes": self.makes,
            "needs": self.needs,
            "child": self.child,
        }
        return {key: header for key, header in all_of.items() if header}


def booked_rows(
    data: bytes,
    file: str,
    columns: Columns,
    breads: Sequence[KnownBread],
    stations: Sequence[Station],
    problems: list[Problem],
) -> tuple[Person, ...]:
    """The people in a bookings file, not seated yet: ``seat`` is the number in the file, or nothing.

    Lines are counted as an editor shows them: a quoted cell with line breaks in it takes several.
    """
    text = _text(data, file, problems)
    if text is None:
        return ()
    rows = _rows(text, file, problems)
    if not rows:
        if not problems:
            problems.append(
                Problem(
                    Spot(file, 1),
                    "the bookings file is empty",
                    "export it again, with its header row and one row a person",
                )
            )
        return ()
    header_line, header = rows[0]
    where = _places(header, header_line, file, columns, problems)
    if where is None:
        return ()
    if len(rows) == 1:
        problems.append(
            Problem(
                Spot(file, header_line),
                "there is a header row and nobody below it",
                "export it again, with one row a person",
            )
        )
    if len(rows) - 1 > MOST_PEOPLE:
        problems.append(
            Problem(
                Spot(file, rows[MOST_PEOPLE + 1][0]),
                f"{len(rows) - 1} people",
                f"one class has at most {MOST_PEOPLE}; make several",
            )
        )
        return ()
    reader = _Rows(file, columns, where, len(header), tuple(breads), tuple(stations), problems)
    return tuple(person for line, cells in rows[1:] if (person := reader.person(line, cells)))


# ---------------------------------------------------------------- text and rows


def _text(data: bytes, file: str, problems: list[Problem]) -> str | None:
    if len(data) > LONGEST_BOOKINGS:
        problems.append(
            Problem(
                Spot(file, 1),
                f"the bookings file has more than {LONGEST_BOOKINGS} bytes",
                "export only this class",
            )
        )
        return None
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        problems.append(_not_utf8(Spot(file, 1), "is written as UTF-16"))
        return None
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start]
        line = before.count(b"\n") + 1
        column = len(before) - before.rfind(b"\n")
        problems.append(
            _not_utf8(
                Spot(file, line, column),
                f"is not UTF-8 (the byte {data[error.start]:02X} stands here; it looks like Latin-1 or Windows-1252)",
            )
        )
        return None
    for number, sign in enumerate(text):
        if (
            unicodedata.category(sign) in ("Cc", "Cf", "Co", "Cs", "Cn")
            and sign not in "\r\n\t\xad"
        ):
            before_sign = text[:number]
            problems.append(
                Problem(
                    Spot(file, before_sign.count("\n") + 1, number - before_sign.rfind("\n")),
                    f"the text holds U+{ord(sign):04X}, a sign that cannot be seen or printed",
                    "take it out in the spreadsheet and export again",
                )
            )
            return None
    return text


def _not_utf8(spot: Spot, wrong: str) -> Problem:
    return Problem(
        spot,
        f"the bookings file {wrong}, so names would come out wrong",
        "save it again as 'CSV UTF-8'",
    )


def _rows(text: str, file: str, problems: list[Problem]) -> list[tuple[int, list[str]]]:
    """Rows that are not blank, each with the line it starts on."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text), strict=True)
    found: list[tuple[int, list[str]]] = []
    line = 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                found.append((line, cells))
            line = reader.line_num + 1
    except csv.Error:
        problems.append(
            Problem(
                Spot(file, line),
                "a quote in this row is opened and not closed, or text follows a closed quote",
                "export it again, or double the quotes inside the cell",
            )
        )
        return []
    return found


def _delimiter(text: str) -> str:
    """Comma, semicolon or tab: the one that is most often outside quotes in the header row."""
    counts = {",": 0, ";": 0, "\t": 0}
    quoted = False
    for sign in text.lstrip("\r\n"):
        if sign == '"':
            quoted = not quoted
        elif sign in "\r\n" and not quoted:
            break
        elif sign in counts and not quoted:
            counts[sign] += 1
    return max(counts, key=lambda sign: counts[sign])


def _tidy(text: str) -> str:
    return " ".join(unicodedata.normalize("NFC", text).replace("\xad", "").split())


def _places(
    header: list[str], line: int, file: str, columns: Columns, problems: list[Problem]
) -> dict[str, int] | None:
    names = [_tidy(cell) for cell in header]
    found: dict[str, int] = {}
    for key, wanted in columns.named().items():
        hits = [n for n, name in enumerate(names) if name.casefold() == _tidy(wanted).casefold()]
        if len(hits) == 1:
            found[key] = hits[0]
        elif hits:
            problems.append(
                Problem(
                    Spot(file, line),
                    f"two columns are headed '{wanted}'",
                    "give each column a header of its own",
                )
            )
        else:
            problems.append(
                Problem(
                    columns.spot or Spot(file, line),
                    f"the bookings file has no column '{wanted}' for {key}",
                    nearest(wanted, [name for name in names if name]),
                )
            )
    return found if len(found) == len(columns.named()) else None


# ---------------------------------------------------------------- one row


class _Rows:
    def __init__(
        self,
        file: str,
        columns: Columns,
        where: dict[str, int],
        width: int,
        breads: tuple[KnownBread, ...],
        stations: tuple[Station, ...],
        problems: list[Problem],
    ) -> None:
        self.file = file
        self.columns = columns
        self.where = where
        self.width = width
        self.breads = {bread.name.casefold(): bread for bread in breads}
        self.stations = {station.name.casefold(): station.name for station in stations}
        self.station_names = [station.name for station in stations]
        self.problems = problems
        self.seen: dict[tuple[str, ...], int] = {}
        self.names: dict[str, int] = {}
        none = (_tidy(text).casefold() for text in columns.none_written)
        self.none_written = frozenset(none)

    def person(self, line: int, cells: list[str]) -> Person | None:
        """The person in one row; None when the row cannot be used."""
        spot = Spot(self.file, line)
        name = self._cell(cells, "name")
        wrong = self._wrong(cells, name) or self._again(spot, name, cells)
        if wrong:
            self._bad(spot, *wrong)
            return None
        needs, asked = self._needs(self._cell(cells, "needs"), spot)
        seat = self._seat(self._cell(cells, "seat"), spot)
        return Person(
            name=name,
            station=self._station(self._cell(cells, "station"), spot),
            seat=seat,
            makes=self._makes(self._cell(cells, "makes"), spot),
            needs=needs,
            asked=asked,
            child=self._child(self._cell(cells, "child"), spot),
            spot=spot,
        )

    def _wrong(self, cells: list[str], name: str) -> tuple[str, str] | None:
        """Why the row cannot be used, and what would be right."""
        if len(cells) > self.width and any(cell.strip() for cell in cells[self.width :]):
            return (
                f"the row has {len(cells)} cells, the header {self.width}",
                "put a cell that holds the separating sign in quotes",
            )
        longest = max(len(cell) for cell in cells)
        if longest > LONGEST_CELL:
            return f"a cell of {longest} signs", f"keep it under {LONGEST_CELL}"
        if not name:
            return "the row has no name", "write the person's name, or take the row away"
        if name.startswith(_FORMULA_SIGNS):
            return (
                f"the name '{name[:40]}' starts like a spreadsheet formula",
                "write the name itself, starting with a letter",
            )
        if len(name) > LONGEST_NAME:
            return f"a name of {len(name)} signs", f"keep it to {LONGEST_NAME}"
        return None

    def _again(self, spot: Spot, name: str, cells: list[str]) -> tuple[str, str] | None:
        """Is the person booked already?"""
        row = tuple(_tidy(cell).casefold() for cell in cells)
        key = name.casefold()
        if row in self.seen:
            return (
                f"this booking is the same as on line {self.seen[row]}",
                "take one of them away",
            )
        self.seen[row] = spot.line
        if key in self.names:
            return (
                f"'{name}' is booked twice, first on line {self.names[key]}, and the two rows differ",
                "keep the right one; two people of one name need to be told apart, as in 'Ada Lindqvist (blue apron)'",
            )
        self.names[key] = spot.line
        return None

    def _bad(self, spot: Spot, wrong: str, right: str) -> None:
        self.problems.append(Problem(spot, wrong, right))

    def _cell(self, cells: list[str], key: str) -> str:
        place = self.where.get(key)
        if place is None or place >= len(cells):
            return ""
        # a line break in the needs cell parts two needs; everywhere else it is a space
        text = cells[place].replace("\r\n", "\n").replace("\r", "\n")
        lines = [_tidy(part) for part in text.split("\n")]
        return ("; " if key in ("needs", "makes") else " ").join(part for part in lines if part)

    def _needs(self, text: str, spot: Spot) -> tuple[tuple[MustNotHave, ...], bool]:
        if not text or text.casefold() == "not asked":
            return (), False
        if text.casefold() in self.none_written:
            return (), True
        return (MustNotHave(text, spot=spot),), True

    def _station(self, text: str, spot: Spot) -> str:
        wanted = text or self.columns.usual_station
        if wanted.casefold() in self.stations:
            return self.stations[wanted.casefold()]
        if not wanted:
            self._bad(
                spot,
                "the row has no station",
                "write it, or 'station: A' below 'bookings:' in the class file",
            )
        else:
            self._bad(spot, f"the station is '{wanted}'", nearest(wanted, self.station_names))
        return ""

    def _seat(self, text: str, spot: Spot) -> str:
        if not text:
            return ""
        if text.isascii() and text.isdigit() and 1 <= int(text) <= 99:
            return str(int(text))
        self._bad(spot, f"the seat is '{text[:20]}'", "write a number from 1 to 99, or nothing")
        return ""

    def _makes(self, text: str, spot: Spot) -> tuple[Making, ...]:
        wanted = text or self.columns.usual_makes
        if not wanted:
            self._bad(
                spot,
                "the row does not say what they make",
                "write it, or 'makes: tin loaf' below 'bookings:' in the class file",
            )
            return ()
        found: list[Making] = []
        for part in (
            part.strip() for part in wanted.replace("+", ";").replace(",", ";").split(";")
        ):
            if not part:
                continue
            bread, pieces = self._bread(part)
            if bread is None:
                names = [one.name for one in self.breads.values()]
                self._bad(
                    spot, f"there is no bread '{part[:40]}' in the lesson", nearest(part, names)
                )
            elif any(one.variation == bread.name for one in found):
                self._bad(
                    spot,
                    f"'{bread.name}' stands twice in the row",
                    "write it once, as in 'rolls 4'",
                )
            else:
                found.append(Making(bread.name, pieces, spot))
        return tuple(found)

    def _bread(self, text: str) -> tuple[KnownBread | None, int]:
        """``soft rolls``, ``soft rolls 4`` or ``4 soft rolls``."""
        whole = self.breads.get(text.casefold())
        if whole is not None:
            return whole, whole.pieces
        words = text.split()
        for number, rest in ((words[-1], words[:-1]), (words[0], words[1:])):
            count = number.lstrip("x×")
            if count.isascii() and count.isdigit() and len(count) <= 3 and int(count) > 0:
                bread = self.breads.get(" ".join(rest).casefold())
                if bread is not None:
                    return bread, int(count)
        return None, 0

    def _child(self, text: str, spot: Spot) -> bool:
        said = text.casefold()
        if said in ("", "no"):
            return False
        if said == "yes":
            return True
        self._bad(spot, f"'child' is '{text[:20]}'", "write 'yes', 'no' or nothing")
        return False
