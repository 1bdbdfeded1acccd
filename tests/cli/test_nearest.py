"""What `litstock nearest` refuses, and what it says to do next."""

from pathlib import Path

import pytest

from tests.goldens import printed, run
from tests.lit.lighted import LightedShop, reading


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a registry with two films, and guidance that refuses solvent coatings."""
    folder = tmp_path_factory.mktemp("nearest") / "registry"
    made = LightedShop(folder)
    with made.series:
        solvent = {"/substrate/coating": {"const": "solvent"}}
        made.put("guidance", "re-wets", when=solvent, level="refuse", text="It re-wets.")
        made.lit_film("lumenfold/day", reading())
        made.lit_film("lumenfold/several", coating="multi")
        made.registry()
    return folder


@pytest.mark.parametrize("word", ["solvent", "Solvent", "SOLVENT"])
def test_case_does_not_get_round_a_refusal(shop: Path, word: str) -> None:
    code, output, _ = printed(shop, "nearest", f"coating={word}", "base=pvc")
    assert code == 1
    assert output.startswith("Refused: no setting here makes this material known to work.")
    assert "lumenfold" not in output


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        (("coating=aquous",), 'did you mean "aqueous"?'),
        (("coating=aqueous", "construction=foo"), 'allowed "film", "sheet"'),
        (("coating=aqueous", "finish=shiny"), 'allowed "matte", "lustre" or "gloss"'),
        (("coating=aqueous", "thickness_um=-5"), "found -5 µm, allowed from 10 to 10000 µm"),
        (("coating=aqueous", "light.transmittance_pct=460"), "found 460 %, allowed from 0 to 100 %"),
        (("coating=aqueous", "title=foo"), "title says nothing of what a substrate is like"),
        (("coating=solvent", "coating=aqueous"), "coating is given twice"),
        (("aqueous",), "write PATH=VALUE, such as coating=aqueous"),
    ],
)
def test_what_no_material_could_be_is_a_question_that_cannot_be_read(
    shop: Path, facts: tuple[str, ...], words: str
) -> None:
    result = run(shop, "nearest", *facts)
    assert (result.exit_code, result.stdout) == (2, "")
    assert words in result.stderr


def test_what_lets_no_light_through_is_answered_plainly(shop: Path) -> None:
    code, output, error = printed(shop, "nearest", "coating=aqueous", "light.transmittance_pct=0")
    assert (code, error) == (1, "")
    assert output.splitlines()[0] == (
        "Nothing to start from: no light goes through it: there is nothing to print that is lit from behind."
    )
