"""The commands. The only place that writes to the terminal; everything heavy is imported when a command needs it."""

from __future__ import annotations

import argparse
import contextlib
import gc
import os
import signal
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from classpack import __version__

if TYPE_CHECKING:
    from classpack.errors import Remark
    from classpack.planning.plan.plan_class import Planned

FAILED = 1
MISTYPED = 2
INTERRUPTED = 130

_ABOUT = """\
classpack turns a bread lesson and a class day into the printed pack: a recipe card for each student,
a sheet for each station, one shopping list, the tutor's run sheet and the safety sheets.
Everything is read from YAML files in one folder; nothing is sent anywhere."""

_EXAMPLES = """\
examples:
  classpack start my-class                      a lesson, a kitchen and class days to edit, that already work
  classpack check my-class/saturday-twelve.yaml say everything that is wrong, and what the tutor should know
  classpack make my-class/saturday-twelve.yaml  print the pack into output/saturday-twelve/
  classpack preview my-class/saturday-twelve.yaml --sheet cards/A1
                                                pictures of sheets, to look at on the screen
  classpack show my-class/saturday-twelve.yaml  amounts, shopping and the day in the terminal
  classpack forget my-class/saturday-twelve.yaml destroy what its pack holds of people's health, when the class is over
  classpack again my-class/saturday-twelve.yaml --now 11:40 --late 15 --missing C2  the timed sheets again, on the day"""


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command.

    Returns:
        0 when done, 1 when something must be mended first, 2 for a mistyped command, 130 when stopped, by Ctrl-C or a signal.
    """
    _speak_utf8()
    parser = _parser()
    args = parser.parse_args(argv)
    run: Callable[[argparse.Namespace], int] | None = getattr(args, "run", None)
    if run is None:
        parser.print_help()
        return 0
    from classpack.errors import LessonError
    from classpack.pack_folder import placed

    placed.clear()
    try:
        _stop_like_ctrl_c()
        with _no_search_for_circles():
            status = run(args)
        if sys.stdout:
            sys.stdout.flush()
        return status
    except LessonError as error:
        for problem in error.problems:
            _say(str(problem))
        count = len(error.problems)
        _say(f"{count} thing{'s' if count != 1 else ''} to mend; nothing was written")
        return FAILED
    except KeyboardInterrupt:
        whole = ", ".join(str(folder) for folder in placed)
        _say(f"stopped; {f'{whole} is written, whole' if whole else 'nothing was changed'}")
        return INTERRUPTED
    except (MemoryError, RecursionError) as error:
        wrong = (
            "not enough memory for"
            if isinstance(error, MemoryError)
            else "too much within each other in"
        )
        _say(
            f"classpack: there is {wrong} this; {'nothing was written' if not placed else 'what was written is whole'}"
        )
        return FAILED
    except BrokenPipeError:
        _end_output()
        return FAILED
    except OSError as error:
        _end_output()
        where = error.filename or "the output"
        _say(f"{where}: {(error.strerror or 'it cannot be written').lower()}")
        return FAILED


@contextlib.contextmanager
def _no_search_for_circles() -> Iterator[None]:
    """One command makes and ends: looking for circles of garbage takes a twelfth of its time and frees two megabytes."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _stop_like_ctrl_c() -> None:
    """Somebody who ends the process, or closes its terminal, leaves as little behind as Ctrl-C does."""

    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    for name in ("SIGTERM", "SIGHUP"):
        with contextlib.suppress(
            AttributeError, ValueError
        ):  # not on this system; not the main thread
            if signal.getsignal(getattr(signal, name)) == signal.SIG_DFL:
                signal.signal(getattr(signal, name), stop)


def _end_output() -> None:
    """Nothing more can be written to the terminal; without this Python would try once more at its end, and complain."""
    with contextlib.suppress(OSError, AttributeError):  # no output, or none of the system's
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _speak_utf8() -> None:
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure:
            reconfigure(encoding="utf-8", errors="backslashreplace")


def _say(text: str) -> None:
    """One line to the terminal. Signs that would steer it, or turn the reading round, are shown by their number."""
    shown = "".join(one if one.isprintable() else ascii(one)[1:-1] for one in text)
    print(shown, file=sys.stderr)


def _kept(kept: Sequence[str]) -> None:
    if kept:
        print(f"kept, because classpack did not write it: {', '.join(kept)}")


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="classpack",
        description=_ABOUT,
        epilog=_EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"classpack {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")

    check = _command(
        commands,
        "check",
        _check,
        "read and plan a class day, say all problems and remarks, write nothing",
    )
    _class_file(check)
    check.add_argument(
        "--write-defaults",
        action="store_true",
        help="write what was taken for granted into the lesson's file, for you to see and change",
    )

    make = _command(
        commands,
        "make",
        _make,
        "print the pack of a class day, or of many: lessons, kitchens and larders are left out",
    )
    make.add_argument(
        "class_files",
        metavar="CLASS.yaml",
        type=Path,
        nargs="+",
        help="the class day's file, which names the others; of several those that are unchanged are not printed again",
    )
    make.add_argument(
        "--jobs",
        metavar="N",
        type=_jobs,
        default=0,
        help="so many class days at once (as many as the computer has processors)",
    )
    make.add_argument(
        "--out",
        metavar="FOLDER",
        default="output",
        help="folder the pack's own folder is made in (output)",
    )
    _how_it_looks(make)
    make.add_argument(
        "--first-names-only",
        action="store_true",
        help="first names on paper that everybody sees: stations, name slips, oven sheets",
    )
    make.add_argument(
        "--kitchen",
        action="store_true",
        help="also, once for each kitchen: its survey, what to confirm with the venue, where rules differ, the sources",
    )
    make.add_argument(
        "--open", action="store_true", help="open pack.pdf in the system's reader when it is done"
    )

    preview = _command(
        commands, "preview", _preview, "pictures (PNG) of a class day's sheets, to look at"
    )
    _class_file(preview)
    preview.add_argument(
        "--sheet",
        metavar="NAME",
        action="append",
        default=[],
        help="only this sheet, as in shopping-list or cards/A1, or all of cards; may be said again",
    )
    preview.add_argument(
        "--out",
        metavar="FOLDER",
        default="output",
        help="folder the pictures' own folder is made in (output)",
    )
    _how_it_looks(preview)

    show = _command(commands, "show", _show, "show amounts, shopping or the day in the terminal")
    _class_file(show, "?")
    show.add_argument(
        "--find",
        metavar="WORD",
        help="ingredients of the larder by a word, each with its allergens; needs no class day that can be read",
    )
    show.add_argument(
        "--what",
        choices=("amounts", "shopping", "day", "sums"),
        help="only this part; sums: how one dough comes about, line by line",
    )
    show.add_argument(
        "--ingredient",
        metavar="NAME",
        help="only this ingredient of the larder, with where each value comes from",
    )

    forget = _command(
        commands,
        "forget",
        _forget,
        "when a class is over: destroy the confidential part of its pack (needs, register of a child's contacts)",
    )
    forget.add_argument(
        "class_file",
        metavar="CLASS.yaml",
        type=Path,
        help="the class day's file the pack was made from; it need not be there any more",
    )
    forget.add_argument(
        "--out",
        metavar="FOLDER",
        default="output",
        help="folder the pack's own folder lies in (output)",
    )

    again = _command(
        commands,
        "again",
        _again,
        "on the day: plan again from where the class is, and print the run sheet, oven sheets and station sheets anew",
    )
    _class_file(again)
    again.add_argument("--now", metavar="11:40", type=_clock, required=True, help="the time it is")
    again.add_argument(
        "--late", metavar="MINUTES", type=_whole, default=0, help="so far behind the sheets in use"
    )
    again.add_argument(
        "--without-oven", metavar="NAME", action="append", default=[], help="an oven that failed"
    )
    again.add_argument(
        "--missing", metavar="SEATS", default="", help="who is not there, as in C2,C3"
    )
    again.add_argument("--arrived", metavar="SEATS", default="", help="who came late, as in A3")
    again.add_argument(
        "--leave-out",
        metavar="WHAT",
        action="append",
        default=[],
        help="a talk, demonstration or break not held after all",
    )
    again.add_argument(
        "--out",
        metavar="FOLDER",
        default="output",
        help="folder the pack's own folder is in (output)",
    )
    again.add_argument(
        "--paper", choices=("A4", "Letter"), help="paper, instead of the class file's"
    )
    again.add_argument(
        "--templates", metavar="FOLDER", help="your own templates, instead of classpack's"
    )

    start = _command(
        commands,
        "start",
        _start,
        "copy lessons, kitchens and class days that work, for you to edit",
    )
    start.add_argument("folder", metavar="FOLDER", nargs="?", help="a new folder, or an empty one")
    start.add_argument(
        "--recipe",
        metavar="FILE",
        help="a recipe pasted into a text file: its lesson, with a larder, a kitchen and a class day beside it",
    )
    start.add_argument(
        "--region",
        metavar="REGION",
        default="UK",
        help="where the recipe was written: UK, IE, EU, US, CA, AU or NZ (UK)",
    )
    start.add_argument(
        "--templates",
        metavar="FOLDER",
        help="copy the templates too (or only them), for you to change wording and looks",
    )
    return parser


def _how_it_looks(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--paper",
        choices=("A4", "Letter", "A5", "A5-on-A4"),
        help="paper, instead of the class file's; A5 is for the cards, A5-on-A4 two of them on a sheet",
    )
    parser.add_argument(
        "--style",
        choices=("normal", "large-print", "high-contrast", "ink-saving"),
        help="how it looks, instead of the class file's style",
    )
    parser.add_argument(
        "--templates", metavar="FOLDER", help="your own templates, instead of classpack's"
    )


def _command(
    commands: argparse._SubParsersAction[argparse.ArgumentParser],
    name: str,
    run: Callable[[argparse.Namespace], int],
    about: str,
) -> argparse.ArgumentParser:
    example = next(line.strip() for line in _EXAMPLES.splitlines() if f"classpack {name}" in line)
    parser = commands.add_parser(
        name,
        help=about,
        description=about[0].upper() + about[1:] + ".",
        epilog=f"example: {example.split('  ')[0]}",
    )
    parser.set_defaults(run=run)
    return parser


def _class_file(parser: argparse.ArgumentParser, how_many: str | None = None) -> None:
    parser.add_argument(
        "class_file",
        nargs=how_many,
        metavar="CLASS.yaml",
        type=Path,
        help="the class day's file; it names the others",
    )


def _planned(args: argparse.Namespace) -> Planned:
    from classpack.class_files import read_sources
    from classpack.places import own_folder
    from classpack.planning.plan.plan_class import plan_class
    from classpack.workshop import raise_if_names_are_long, raise_if_own_allergen_is_printed

    folder = own_folder("templates")
    planned = plan_class(read_sources(args.class_file, folder))
    raise_if_own_allergen_is_printed(planned)
    raise_if_names_are_long(planned, planned.plan.day.paper, folder)
    return planned


def _remarks(remarks: Iterable[Remark]) -> None:
    for remark in remarks:
        print(remark)


def _check(args: argparse.Namespace) -> int:
    if args.write_defaults:
        from classpack.class_files import read_sources
        from classpack.places import own_folder
        from classpack.write_defaults import write_defaults

        file, count = write_defaults(read_sources(args.class_file, own_folder("templates")))
        print(f"{file}: {count} value{'s' if count != 1 else ''} written down")
    from classpack.workshop import remarks_as_read

    planned = _planned(args)
    _remarks(remarks_as_read(planned.plan))
    print(planned.plan.verdict.text)
    for remedy in planned.plan.remedies:
        print(f"what would help: {remedy.text}")
    print("nothing to mend")
    return 0


def _make(args: argparse.Namespace) -> int:
    if len(args.class_files) > 1:
        return _make_many(args)
    from classpack.workshop import make_pack

    report = make_pack(
        args.class_files[0],
        Path(args.out),
        paper=args.paper,
        style=_style(args),
        first_names_only=args.first_names_only,
        templates=args.templates,
        kitchen=args.kitchen,
        tell=_progress,
    )
    _progress("")
    for name, pages in report.sheets:
        print(f"  {name}{'' if pages is None else f'  {pages} page' + ('s' if pages != 1 else '')}")
    print(f"{report.folder}: {len(report.sheets)} files, {report.pages} pages in pack.pdf")
    _kept(report.kept)
    _older(report.folder)
    _remarks(report.remarks)
    print(report.verdict)
    if args.open:
        from classpack.viewer import show_file

        if reason := show_file(report.folder / "pack.pdf"):
            _say(reason)
    return 0


def _older(folder: Path) -> None:
    """A class file under a new name leaves the old pack behind, with what was told about people."""
    from classpack.forgetting import older_packs

    for one in older_packs(folder):
        print(
            f"{one}: an older pack of the same class, with its confidential part; delete it if this one replaces it"
        )


def _forget(args: argparse.Namespace) -> int:
    import datetime

    from classpack.forgetting import forget

    folder, left = forget(args.class_file, Path(args.out), datetime.date.today())
    print(f"{folder}: the confidential part is destroyed")
    for name in left:
        print(f"  not classpack's, so it still lies there: {name}")
    print("back-ups, sent copies and paper are yours to look after")
    return 0


def _make_many(args: argparse.Namespace) -> int:
    from classpack.pack_folder import placed
    from classpack.term import Job, is_class_day, print_many, process_pool

    paths = [path for path in args.class_files if is_class_day(path)]
    looks = (args.paper, _style(args), args.first_names_only, args.templates, args.kitchen)
    jobs = [Job(path, Path(args.out), *looks) for path in paths]
    workers = max(1, min(args.jobs or os.cpu_count() or 1, len(jobs)))
    printed = unchanged = mended = 0
    pool = process_pool(workers)
    try:
        for number, done in enumerate(print_many(jobs, pool, workers), 1):
            _progress("")
            if done.problems:
                mended += 1
                for problem in done.problems:
                    _say(str(problem))
            elif done.unchanged:
                unchanged += 1
                print(f"{done.folder}: unchanged", flush=True)
            else:
                printed += 1
                placed.append(done.folder)
                remarks = (
                    f", {done.remarks} remark{'s' if done.remarks > 1 else ''} (see check)"
                    if done.remarks
                    else ""
                )
                print(f"{done.folder}: {done.files} files, {done.pages} pages{remarks}", flush=True)
                _kept(done.kept)
            _progress(f"{number} of {len(jobs)}")
    finally:
        pool.shutdown(cancel_futures=True)
        _progress("")
    left_out = len(args.class_files) - len(paths)
    print(
        f"{len(jobs)} class days: {printed} printed, {unchanged} unchanged, {mended} to mend"
        + (f"; {left_out} other files left out" if left_out else "")
    )
    return FAILED if mended else 0


def _style(args: argparse.Namespace) -> str | None:
    return args.style.replace("-", " ") if args.style else None


def _preview(args: argparse.Namespace) -> int:
    from classpack.preview import preview

    pictures = preview(
        args.class_file,
        Path(args.out),
        args.sheet,
        paper=args.paper,
        style=_style(args),
        templates=args.templates,
        tell=_progress,
    )
    _progress("")
    for name in pictures.names:
        print(f"  {name}")
    print(f"{pictures.folder}: {len(pictures.names)} pictures")
    _kept(pictures.kept)
    return 0


def _jobs(text: str) -> int:
    """How many processes: a whole number from 1 on."""
    if not text.isascii() or not text.isdigit() or not 1 <= int(text) <= 256:
        raise argparse.ArgumentTypeError(f"'{text}' is no number from 1 to 256")
    return int(text)


def _whole(text: str) -> int:
    """Minutes on the command line: a whole number, up to a day."""
    if not text.isascii() or not text.isdigit() or int(text) > 24 * 60:
        raise argparse.ArgumentTypeError(f"'{text}' is no number of minutes, as in 15")
    return int(text)


def _clock(text: str) -> int:
    """A time of day on the command line, as minutes after midnight."""
    from classpack.quantities import NotUnderstood, parse_clock

    try:
        return parse_clock(text)
    except NotUnderstood:
        raise argparse.ArgumentTypeError(f"'{text}' is no time of day, as in 11:40") from None


def _seats(text: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(seat.strip() for seat in text.split(",") if seat.strip()))


def _again(args: argparse.Namespace) -> int:
    from classpack.again import make_again
    from classpack.planning.day.again import Happening

    happening = Happening(
        args.now,
        args.late,
        tuple(dict.fromkeys(args.without_oven)),
        _seats(args.missing),
        _seats(args.arrived),
        tuple(dict.fromkeys(args.leave_out)),
    )
    report = make_again(
        args.class_file,
        Path(args.out),
        happening,
        paper=args.paper,
        templates=args.templates,
        tell=_progress,
    )
    _progress("")
    for line in (report.verdict, *report.first):
        print(line)
    for name, pages in report.sheets:
        print(f"  {name}{'' if pages is None else f'  {pages} page' + ('s' if pages != 1 else '')}")
    print(f"{report.folder}: {len(report.sheets)} files, {report.pages} pages in again.pdf")
    _kept(report.kept)
    _remarks(report.remarks)
    return 0


def _progress(text: str) -> None:
    if sys.stderr.isatty():
        print(f"\r\033[K{text}", end="", file=sys.stderr, flush=True)


def _show(args: argparse.Namespace) -> int:
    if args.find:
        return _find(args.class_file, args.find)
    if args.class_file is None:
        _say("classpack show: name a class day's file, or look for a food with --find")
        return MISTYPED
    if args.ingredient:
        return _show_ingredient(args.class_file, args.ingredient)
    from classpack.sheets.exports.terminal import show_lines

    for line in show_lines(_planned(args).plan, args.what or ""):
        print(line)
    return 0


def _find(class_file: Path | None, word: str) -> int:
    from classpack.class_files import larder_beside
    from classpack.reading.same_food import found_by, offered, with_what_it_holds

    larder = larder_beside(class_file)
    found = found_by(word, larder)
    for one in found:
        print(with_what_it_holds(one))
    if not found:
        print(f"no ingredient '{word}' in the larder; {offered(word, larder)}")
    return 0 if found else 1


def _show_ingredient(class_file: Path, name: str) -> int:
    from classpack.class_files import read_sources
    from classpack.errors import LessonError, Problem, Spot
    from classpack.places import own_folder
    from classpack.reading.same_food import offered
    from classpack.sheets.exports.larder_entry import entry_text

    larder = read_sources(class_file, own_folder("templates")).larder
    one = larder.get(name)
    if one is None:
        spot = Spot(str(class_file), 1)
        raise LessonError(
            [Problem(spot, f"no ingredient '{name}' in the larder", offered(name, larder))]
        )
    for line in entry_text(one, larder.currency):
        print(line)
    return 0


def _start(args: argparse.Namespace) -> int:
    if not args.folder and not args.templates:
        _say("classpack start: name a folder, as in: classpack start my-class")
        return MISTYPED
    from classpack.pack_folder import raise_unless_new

    wanted = [Path(named) for named in (args.folder, args.templates) if named]
    for folder in wanted:
        raise_unless_new(folder)
    if len({folder.resolve() for folder in wanted}) < len(wanted):
        _say("classpack start: lessons and templates need two folders")
        return MISTYPED
    if args.recipe:
        if not args.folder:
            _say(
                "classpack start: name a folder for the recipe, as in: classpack start my-class --recipe bread.txt"
            )
            return MISTYPED
        from classpack.starting import start_recipe

        started = start_recipe(Path(args.folder), Path(args.recipe), args.region)
        for line in started.told:
            print(line)
        print(
            f"{args.folder} is ready: {started.counted}; look at lesson.yaml, then: classpack check {Path(args.folder) / started.class_file}"
        )
    elif args.folder:
        from classpack.starting import start_folder

        folder = start_folder(Path(args.folder))
        class_file = folder / "saturday-twelve.yaml"
        print(f"{folder} is ready: edit the files, then: classpack make {class_file}")
    if args.templates:
        from classpack.template_folder import PICTURES, start_templates

        templates = start_templates(Path(args.templates))
        print(
            f"{templates} holds the templates; {templates / PICTURES} shows every element, README.md says the rest. "
            f"Print with them: classpack make CLASS.yaml --templates {templates}"
        )
    return 0
