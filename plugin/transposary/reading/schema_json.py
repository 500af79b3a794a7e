"""JSON Schemas of the entries' fields, for editors that complete and check YAML."""

from __future__ import annotations

import json

from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from transposary.glossary import Kind
from transposary.reading.schema import MODELS
from transposary.reading.schema_values import as_list


def json_schema(kind: Kind) -> str:
    """Writes the JSON Schema (draft 2020-12) of the fields of a kind."""
    schema = MODELS[kind].model_json_schema(schema_generator=_FieldSchema)
    head = {"$schema": GenerateJsonSchema.schema_dialect}
    title = {"title": f"A {kind.noun} of the glossary"}
    return json.dumps(head | schema | title, ensure_ascii=False, indent=2)


class _FieldSchema(GenerateJsonSchema):
    """Describes what may stand in a file, and not what Python makes of it."""

    def nullable_schema(self, schema: core_schema.NullableSchema) -> JsonSchemaValue:
        """A field is left out, or it has a value; it is never empty."""
        return self.generate_inner(schema["schema"])

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> JsonSchemaValue:
        """What a field left out means is not the editor's business."""
        return self.generate_inner(schema["schema"])

    def function_before_schema(self, schema: core_schema.BeforeValidatorFunctionSchema) -> JsonSchemaValue:
        """One value may stand for a list of one."""
        inner = self.generate_inner(schema["schema"])
        if schema["function"]["function"] is as_list:
            return {"anyOf": [inner["items"], inner]}
        return inner
