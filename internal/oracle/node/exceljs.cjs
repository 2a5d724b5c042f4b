'use strict';
// A workbook by ExcelJS's streaming writer, from lines of JSON of a file: an object begins a sheet, a list is a row. A
// column is written with one format; a moment comes as a number already. It says how long that took, and how long it takes
// to read the lines alone.
const fs = require('node:fs');
const { createInterface } = require('node:readline');
const ExcelJS = require('exceljs');

const [from, to] = process.argv.slice(2);
const lines = () => createInterface({ input: fs.createReadStream(from), crlfDelay: Infinity });
const seconds = async (work) => {
  const start = process.hrtime.bigint();
  await work();
  return Number(process.hrtime.bigint() - start) / 1e9;
};

const read = async () => {
  for await (const line of lines()) JSON.parse(line);
};

const write = async () => {
  const book = new ExcelJS.stream.xlsx.WorkbookWriter({ filename: to, useStyles: true, useSharedStrings: false, zip: { zlib: { level: 5 } } });
  let sheet;
  for await (const line of lines()) {
    const row = JSON.parse(line);
    if (Array.isArray(row)) {
      sheet.addRow(row).commit();
      continue;
    }
    if (sheet) sheet.commit();
    sheet = book.addWorksheet(row.name);
    sheet.columns = row.columns.map(({ head, format }) => ({ header: head, width: 20, style: { numFmt: format } }));
  }
  sheet.commit();
  await book.commit();
};

(async () => {
  const reading = await seconds(read);
  const whole = await seconds(write);
  console.log(JSON.stringify({ reading, whole, peak: process.resourceUsage().maxRSS * 1024, size: fs.statSync(to).size }));
})();
