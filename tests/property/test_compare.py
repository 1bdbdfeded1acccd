"""Comparing any two print modes: what differs, what restores, and what the digest says of it."""

import copy
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from registry.change.compare import SettingChange, compare
from registry.model.shape import shape_of
from tests.change.documents import mode

MODE = shape_of("print-mode")

_loads = st.sampled_from([100, 150.5, 200, 210])
_layer = st.fixed_dictionaries(
    {"what": st.sampled_from(["colour", "white", "clear"]), "load_pct": _loads},
    optional={"passes": st.integers(4, 16)},
)
_modes = st.builds(
    lambda members: mode(**members),
    st.fixed_dictionaries(
        {},
        optional={
            "layers": st.lists(_layer, min_size=1, max_size=4),
            "heat": st.fixed_dictionaries(
                {}, optional={"cure_c": st.integers(90, 110), "dry_c": st.just(50.0)}
            ),
            "ink": st.fixed_dictionaries(
                {}, optional={"black_generation": st.sampled_from(["none", "heavy"])}
            ),
            "finishing": st.lists(
                st.sampled_from(["none", "film-laminate", "acrylic-face"]), min_size=1, max_size=3
            ),
            "mirrored": st.booleans(),
            "status": st.sampled_from(["trial", "known-good"]),
            "notes": st.lists(st.text("ab", min_size=1), max_size=2),
        },
    ),
)


def settings(changes: list[SettingChange]) -> list[SettingChange]:
    return [change for change in changes if change.is_setting]


@given(_modes, _modes)
def test_some_setting_differs_exactly_where_the_settings_digest_does(
    before: dict[str, Any], after: dict[str, Any]
) -> None:
    differs = MODE.digest(before) != MODE.digest(after)
    assert bool(settings(compare(MODE, before, after))) is differs or _is_an_empty_group(before, after)


def _is_an_empty_group(before: dict[str, Any], after: dict[str, Any]) -> bool:
    """Whether they differ in a group that holds nothing: the digest sees it, and there is nothing to tell."""
    full = [{name: value for name, value in each.items() if value != {}} for each in (before, after)]
    return MODE.digest(full[0]) == MODE.digest(full[1])


@given(_modes, _modes)
def test_the_changes_put_upon_what_was_give_what_is(before: dict[str, Any], after: dict[str, Any]) -> None:
    values = {path: found.value for path, found in MODE.flatten(before).items()}
    for change in compare(MODE, before, after):
        if change.path == "layers":  # the order of a list, which no single value holds
            continue
        if change.after is None:
            del values[change.path]
        else:
            values[change.path] = change.after
    assert values == {path: found.value for path, found in MODE.flatten(after).items()}


@given(_modes, _modes)
def test_there_and_back_mirror_each_other(before: dict[str, Any], after: dict[str, Any]) -> None:
    there, back = compare(MODE, before, after), compare(MODE, after, before)
    assert {(each.path, str(each.before), str(each.after)) for each in there} == {
        (each.path, str(each.after), str(each.before)) for each in back
    }


@given(_modes)
def test_comparing_changes_neither_document(before: dict[str, Any]) -> None:
    kept, other = copy.deepcopy(before), mode()
    compare(MODE, before, other)
    assert (before, other) == (kept, mode())


@given(_modes, _modes)
def test_no_path_is_told_twice(before: dict[str, Any], after: dict[str, Any]) -> None:
    paths = [change.path for change in compare(MODE, before, after)]
    assert len(paths) == len(set(paths))
