'use strict';
// A line of JSON in, a line of JSON out: what check says of it, a list of strings.
// What it throws is said too.
const { createInterface } = require('node:readline');

module.exports = async (check) => {
  for await (const line of createInterface({ input: process.stdin, crlfDelay: Infinity })) {
    let said;
    try {
      said = check(JSON.parse(line));
    } catch (e) {
      said = [e.message];
    }
    process.stdout.write(JSON.stringify(said) + '\n');
  }
};
