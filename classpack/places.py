"""Where the package's own folders are, and how files that name each other are found and read."""

from __future__ import annotations

from pathlib import Path, PureWindowsPath

from classpack.errors import LessonError, Problem, Spot

_PACKAGE = Path(__file__).resolve().parent
LARGEST_FILE = 4_000_000


def own_folder(name: str) -> Path:
    """``templates`` or ``lessons``: inside the installed package, or beside it in a checkout.

    Raises:
        FileNotFoundError: neither is there.
    """
    installed = _PACKAGE / "_data" / name
    if installed.is_dir():
        return installed
    checkout = _PACKAGE.parent
    if (checkout / "pyproject.toml").is_file() and (checkout / name).is_dir():
        return checkout / name
    raise FileNotFoundError(f"the folder '{name}' of classpack is missing; install it again")


def read_text(path: Path, shown: str, spot: Spot | None = None) -> str:
    """The text of a UTF-8 file (with or without a byte-order mark).

    Args:
        shown: the path as errors show it.
        spot: where the file was named, if another file named it.

    Raises:
        LessonError: the file is missing, unreadable, too large or not UTF-8.
    """
    return decoded(read_bytes(path, shown, spot), shown)


def read_bytes(path: Path, shown: str, spot: Spot | None = None) -> bytes:
    """The bytes of a file that another one named at ``spot``.

    Raises:
        LessonError: the file is missing, unreadable or too large.
    """
    where = spot or Spot(shown, 1)
    try:
        if path.is_dir():
            raise LessonError([Problem(where, f"'{shown}' is a folder", "name a file")])
        if not path.is_file() and path.exists():
            raise LessonError([Problem(where, f"'{shown}' is not a file", "name a text file")])
        if path.stat().st_size > LARGEST_FILE:
            raise LessonError(
                [Problem(where, f"'{shown}' is larger than 4 MB", "keep it to a few pages of text")]
            )
        return path.read_bytes()
    except FileNotFoundError:
        raise LessonError(
            [Problem(where, f"there is no file '{shown}'", "check the name and the folder")]
        ) from None
    except OSError as error:
        reason = (error.strerror or "it cannot be opened").lower()
        raise LessonError(
            [Problem(where, f"'{shown}' cannot be read: {reason}", "check that you may open it")]
        ) from None


def decoded(data: bytes, shown: str) -> str:
    """Bytes as UTF-8 text.

    Raises:
        LessonError: they are something else.
    """
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start]
        spot = Spot(shown, before.count(b"\n") + 1, len(before) - before.rfind(b"\n"))
        raise LessonError(
            [Problem(spot, "the file is not UTF-8 text", "save it as UTF-8 in your editor")]
        ) from None


def beside(main: Path, named: str, spot: Spot) -> Path:
    """The file ``named`` in the folder of ``main`` or below it.

    Raises:
        LessonError: the name climbs out of that folder.
    """
    try:
        folder = main.resolve().parent
        target = (folder / named).resolve()
    except (OSError, RuntimeError, ValueError):  # links in a circle, signs no file name may have
        raise LessonError(
            [Problem(spot, f"there is no file '{named}'", "check the name and the folder")]
        ) from None
    if (
        Path(named).is_absolute()
        or PureWindowsPath(named).drive
        or "\\" in named
        or not target.is_relative_to(folder)
    ):
        raise LessonError(
            [
                Problem(
                    spot,
                    f"'{named}' leads out of the class file's folder",
                    "keep a class's files in one folder and name them without '..'",
                )
            ]
        )
    return target
