'use strict';
// The narrative as XHTML: well-formed XML by saxes, all of it in XHTML's name space.
const { SaxesParser } = require('saxes');
const lines = require('./lines.cjs');

lines((resource) => {
  const said = [];
  const parse = (text, where) => {
    const parser = new SaxesParser({ xmlns: true });
    parser.on('error', (e) => said.push(`${where}: ${e.message}`));
    parser.on('opentag', (tag) => {
      if (tag.uri !== 'http://www.w3.org/1999/xhtml') said.push(`${where}: <${tag.name}> is not XHTML`);
    });
    parser.write(text).close();
  };
  const walk = (node, where) => {
    if (node === null || typeof node !== 'object') return;
    if (typeof node.div === 'string') parse(node.div, where);
    for (const [name, value] of Object.entries(node)) walk(value, `${where}.${name}`);
  };
  walk(resource, resource.resourceType);
  return said;
});
