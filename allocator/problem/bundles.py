"""How bundles are held, and what segments say of it: each segment has what the way asks for, and nothing else."""

from __future__ import annotations

from collections.abc import Iterator

from allocator.problem.draft import Draft
from allocator.problem.mistakes import Mistake
from allocator.problem.network import Segment
from allocator.problem.settings import Bundling, Margins


def bundles(draft: Draft) -> Iterator[Mistake]:
    """Every segment that lacks what the table asks for, or that states what does not count."""
    if draft.margins is None:
        return
    way = draft.margins.bundle
    for segment in draft.segments:
        if way is Bundling.TABLE:
            yield from _lacking(segment, draft.margins)
        else:
            yield from _only_by_the_table(segment)
        if way is Bundling.NONE and segment.factor < 1.0:
            wrong = 'means nothing with bundle = "none" under [margins]'
            remedy = 'Leave it empty, or write bundle = "heat" or "table" there'
            yield _mistake(segment, "bundle", f"{segment.factor:g}", wrong, remedy)


def _lacking(segment: Segment, margins: Margins) -> Iterator[Mistake]:
    """By the table a bundle is sized for wires and loading that are stated: its own, or those of the margins."""
    asked = (
        ("bundle wires", segment.wires, "bundle_wires", margins.bundle_wires, "the most wires in it, such as 12"),
        ("bundle loading", segment.loading, "bundle_loading", margins.bundle_loading, "its loading, such as 60 %"),
    )
    for column, own, key, for_all, what in asked:
        if own is None and for_all is None:
            wrong = f'is missing, and so is {key} under [margins], with bundle = "table" there'
            yield _mistake(segment, column, None, wrong, f"Give {what}, or {key} for all segments")


def _only_by_the_table(segment: Segment) -> Iterator[Mistake]:
    for column, value in (("bundle wires", segment.wires), ("bundle loading", segment.loading)):
        if value is not None:
            wrong = 'is only meant with bundle = "table" under [margins]'
            yield _mistake(segment, column, f"{value:g}", wrong, 'Leave it empty, or write bundle = "table" there')


def _mistake(segment: Segment, field: str, value: str | None, wrong: str, remedy: str) -> Mistake:
    return Mistake(table="segments", row=segment.name, field=field, value=value, wrong=wrong, remedy=remedy)
