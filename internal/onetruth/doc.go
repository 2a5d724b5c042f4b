// Package onetruth holds the faces of one handover to one another. Its tests take
// every fact of a whole ward out of JSON, text, page, PDF, workbook, CSV and FHIR,
// each read as a receiver would read it, and hold them equal.
package onetruth
