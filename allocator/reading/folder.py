"""A problem folder: ``problem.toml`` and CSV tables beside it."""

from __future__ import annotations

from pathlib import Path, PurePosixPath

from allocator.problem import Mistake, ProblemError
from allocator.problem.near_misses import near_miss
from allocator.reading.opening import name_of, read_file
from allocator.reading.raw import TABLES, RawProblem
from allocator.reading.tables import csv_table, decoded
from allocator.reading.toml_text import parsed

SETTINGS = "problem.toml"
MOST_SETTINGS_BYTES = 8 * 1024 * 1024
"""Settings of 5,000 units come to 1 MB."""


def read_folder(folder: Path, mistakes: list[Mistake]) -> RawProblem:
    """Read every file of a problem folder as text; what cannot be read is added to ``mistakes``."""
    raw = RawProblem(name=name_of(folder.resolve()), settings_file=SETTINGS)
    present = sorted(name_of(entry) for entry in folder.iterdir())
    data = _bytes(folder, SETTINGS, present, (SETTINGS,), raw, mistakes)
    if data is not None:
        _settings(data, raw, mistakes)
    own = _own_wire_files(raw)
    others = [name for name in present if name not in own]
    for table in TABLES:
        file = f"{table}.csv"
        needed = table in ("loads", "places")
        data = _bytes(folder, file, others, (file,) if needed else (), raw, mistakes)
        if data is None:
            continue
        try:
            raw.tables[table] = csv_table(file, data)
        except ProblemError as error:
            raw.broken.add(table)
            mistakes.extend(error.mistakes)
    for file in own:
        _own_wires(folder, file, raw, mistakes)
    return raw


def _bytes(
    folder: Path,
    file: str,
    present: list[str],
    needed: tuple[str, ...],
    raw: RawProblem,
    mistakes: list[Mistake],
) -> bytes | None:
    """Bytes of a file; None where it is absent.

    A near miss of its name is then refused, and so is the lack of a needed one.
    """
    if file not in present:
        tables = {SETTINGS, *(f"{table}.csv" for table in TABLES)}
        near = near_miss(file, [name for name in present if name not in tables])
        if near is not None:
            raw.broken.add(file.removesuffix(".csv"))
            remedy = f"Rename it to '{file}' if that is meant; if not, choose a name less like it"
            mistakes.append(Mistake(table=near, wrong=f"is nearly the file name '{file}'", remedy=remedy))
        elif file in needed:
            raw.broken.add(file.removesuffix(".csv"))
            mistakes.append(Mistake(table=file, wrong="is missing", remedy="Add this file to the problem folder"))
        return None
    try:
        raw.files[file] = read_file(folder / file)
    except OSError as error:
        raw.broken.add(file.removesuffix(".csv"))
        wrong = f"cannot be read ({error.strerror or error})"
        mistakes.append(Mistake(table=file, wrong=wrong, remedy="Change its permissions so that it can be read"))
        return None
    return raw.files[file]


def _settings(data: bytes, raw: RawProblem, mistakes: list[Mistake]) -> None:
    if len(data) > MOST_SETTINGS_BYTES:
        wrong = f"is larger than {MOST_SETTINGS_BYTES >> 20} MB, the most that is read of settings"
        mistakes.append(Mistake(table=SETTINGS, wrong=wrong, remedy="Keep only what is needed"))
        return
    try:
        raw.settings = parsed(decoded(SETTINGS, data))
    except ProblemError as error:
        mistakes.extend(error.mistakes)
    except (ValueError, RecursionError) as error:
        wrong = f"is not readable as TOML ({error})"
        remedy = "Correct that line; text goes in quotation marks, and a key appears once in its table"
        mistakes.append(Mistake(table=SETTINGS, wrong=wrong, remedy=remedy))


def _own_wire_files(raw: RawProblem) -> list[str]:
    wire = (raw.settings or {}).get("wire")
    if not isinstance(wire, dict):
        return []
    return sorted({wire[key] for key in ("file", "feed_file") if isinstance(wire.get(key), str) and wire[key]})


def _own_wires(folder: Path, file: str, raw: RawProblem, mistakes: list[Mistake]) -> None:
    """Read a wire table of the user's own, which must lie in the problem folder."""
    path = PurePosixPath(file)
    wrong = None
    if path.is_absolute() or ".." in path.parts or "\0" in file:
        wrong = "does not lie in the problem folder"
    elif not (folder / file).is_file():
        wrong = "is named in [wire] but is not there"
    if wrong is not None:
        remedy = "Put the wire table into the problem folder and name it as it is called there"
        mistakes.append(Mistake(table=file, wrong=wrong, remedy=remedy))
        return
    try:
        raw.files[file] = read_file(folder / file)
        raw.own_wires[file] = csv_table(file, raw.files[file])
    except OSError as error:
        wrong = f"cannot be read ({error.strerror or error})"
        mistakes.append(Mistake(table=file, wrong=wrong, remedy="Change its permissions so that it can be read"))
    except ProblemError as error:
        mistakes.extend(error.mistakes)
