'use strict';
// A UCUM code: what is wrong with it, by ucum-lhc of the US National Library of Medicine.
const { UcumLhcUtils } = require('@lhncbc/ucum-lhc');
const lines = require('./lines.cjs');

const ucum = UcumLhcUtils.getInstance();
lines((code) => {
  const r = ucum.validateUnitString(code);
  return r.status === 'valid' && r.ucumCode === code ? [] : [r.status, ...(r.msg || [])];
});
