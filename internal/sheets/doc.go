// Package sheets writes a handover and the record behind it as a workbook (Office Open XML, ISO/IEC 29500) for the ward
// clerk, or its tables as CSV (RFC 4180); and a workbook to chart into. It computes nothing: every figure is one of the
// compiled handover or of an entry, and a chart is drawn by the spreadsheet program from cells.
//
// Terms. A sheet holds one table: a title line with the moment and a caution, a header, then rows. A book is the file
// while it is written, an open sheet the sheet that rows go to now; a reading is the record as known at one moment. A
// fact is a row of the handover's table of facts; the sheet Facts has a line for each, most as the table has it, some as
// a sentence (facts_said.go): a new fact stands there without a line of code here. A cell is
// never empty: what nobody charted says "not charted", what has no meaning for the infant "does not apply", a list with
// nothing in it "none", a name that must not be seen "not shown". A filler is such a word: a column of nothing but fillers
// is left out of the workbook, and About says which; CSV keeps every column, for programs.
//
// Invariants.
//   - The same handover, entries and version give the same bytes. Nothing is read from a clock, a user or a host.
//   - Moments are numbers in the unit's wall time with the format yyyy-mm-dd hh:mm, days numbers with yyyy-mm-dd. The
//     offset from UTC stands beside each moment of a sheet that holds two of them, else in the header: it alone tells
//     apart the two hours of the night the clock goes back.
//   - Charted numbers are numbers, shown with the decimals they were charted with. Identifiers are texts, leading zeros
//     kept. There are no formulas in cells, merged cells, comments, links out of the file, or hidden rows, columns or
//     sheets.
//   - A mark before a word (signs.go) is a format: the cell holds the word. No meaning is a colour alone.
//   - What is printed unless somebody asks for more is as wide as a page at its own size of type (layout.go); every other
//     sheet has a print area in which nothing stands.
//   - Charts are drawn from a sheet that is no table: no sorting puts another infant under a picture.
//   - Text is written as it is or not at all: what a cell cannot hold is refused, by sheet, row and column.
//   - Sheet names are fixed; no name of an infant stands in a sheet's name or in the document's properties.
//
// Large records. Rows are made as they are read, twice: to measure the columns and to write. Where a table has more rows
// than a sheet takes, it goes on in a sheet of the same name with a number. Rows are made by a second goroutine, and
// packed by a third; that changes no byte. In memory stands what is packed, and little else: the spreadsheet library would
// keep each sheet that it streams until the file is written, so rows are taken from it in pieces (rows.go), and each sheet
// as soon as it has ended (taken.go). No temporary file is made.
package sheets
