"""The schemas against the metaschema of their draft, as two general libraries ship it."""

import jsonschema
import jsonschema_rs
import pytest

from registry.model.kinds import KINDS
from registry.model.shape import shape_of


@pytest.mark.parametrize("kind", KINDS)
def test_each_schema_is_valid_by_the_draft_2020_12_metaschema(kind: str) -> None:
    # JSON Schema draft 2020-12 (json-schema.org/draft/2020-12/schema), as two general libraries ship it.
    schema = shape_of(kind).schema
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(schema)
    assert jsonschema_rs.meta.is_valid(schema)
