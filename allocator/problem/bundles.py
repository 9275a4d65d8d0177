"""How bundles are held, and what segments say of it: each has what that way asks for, and nothing that it ignores."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from allocator.problem.draft import Draft
from allocator.problem.mistakes import Mistake
from allocator.problem.network import Segment
from allocator.problem.settings import Bundling


def bundles(draft: Draft) -> Iterator[Mistake]:
    """What the table asks for and is missing, and what segments state in vain."""
    if draft.margins is None:
        return
    way = draft.margins.bundle
    if way is Bundling.TABLE:
        wires, loading = draft.margins.bundle_wires, draft.margins.bundle_loading
        own_wires = [(segment, segment.wires) for segment in draft.segments]
        own_loading = [(segment, segment.loading) for segment in draft.segments]
        yield from _stated(draft, "bundle_wires", wires, own_wires, "the most wires in a bundle, such as 12")
        yield from _stated(draft, "bundle_loading", loading, own_loading, "the loading of a bundle, such as 60 %")
        return
    for segment in draft.segments:
        yield from _only_by_the_table(segment)
        if way is Bundling.NONE and segment.factor < 1.0:
            wrong = 'has no effect with bundle = "none" under [margins]'
            remedy = 'Leave it empty, or write bundle = "heat" or "table" there'
            yield _of_segment(segment, "bundle", f"{segment.factor:g}", wrong, remedy)


def _stated(
    draft: Draft, key: str, for_all: float | None, own: Sequence[tuple[Segment, float | None]], what: str
) -> Iterator[Mistake]:
    """By the table a bundle is sized for wires and a loading that are stated: the segment's own, or the margins'."""
    column = key.replace("_", " ")
    lacking = [segment for segment, value in own if value is None]
    if for_all is not None or not lacking:
        return
    if len(lacking) < len(own):
        wrong = f'is missing, and so is {key} under [margins], with bundle = "table" there'
        yield from (_of_segment(one, column, None, wrong, f"Give {what}, or {key} for all") for one in lacking)
    elif "segments" in draft.whole:
        wrong = f"is missing with bundle = \"table\", and no segment has a '{column}' of its own"
        yield Mistake(table="margins", field=key, wrong=wrong, remedy=f"Give {what}")


def _only_by_the_table(segment: Segment) -> Iterator[Mistake]:
    stated = {
        "bundle wires": None if segment.wires is None else str(segment.wires),
        "bundle loading": None if segment.loading is None else f"{100.0 * segment.loading:g} %",
    }
    for column, value in stated.items():
        if value is not None:
            wrong = 'is only meant with bundle = "table" under [margins]'
            yield _of_segment(segment, column, value, wrong, 'Leave it empty, or write bundle = "table" there')


def _of_segment(segment: Segment, field: str, value: str | None, wrong: str, remedy: str) -> Mistake:
    return Mistake(table="segments", row=segment.name, field=field, value=value, wrong=wrong, remedy=remedy)
