'use strict';
// R4's JSON schema (draft 6), by ajv.
const Validator = require('@asymmetrik/fhir-json-schema-validator');
const lines = require('./lines.cjs');

const schema = new Validator();
lines((resource) => schema.validate(resource, true).map((e) => `${e.dataPath} ${e.message}`));
