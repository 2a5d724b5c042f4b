package intake

import (
	"encoding/xml"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"cotline/handover/entry"
)

// sheetReader reads one sheet.
type sheetReader struct {
	*book
	*table
	row struct {
		number int
		hidden bool
		cells  []cell
	}
	cell struct {
		column  int
		style   int
		kind    string
		formula bool
		text    textElement
	}
	spills        []area // what a formula fills beside its own cell
	hiddenColumns []area
	hiddenRows    []int
}

var errEnough = errors.New("enough of the sheet was read")

// readSheet says whether a sheet is a table of entries.
func (b *book) readSheet(o *Offer, t Tables, s bookSheet, infants map[string]string) (bool, error) {
	r := sheetReader{book: b, table: o.table(t, s.name, ".")}
	r.infants = infants
	err := b.read(s.part, handler{start: r.start, text: r.cell.text.text, end: r.end})
	if err != nil && !errors.Is(err, errEnough) {
		return false, err
	}
	r.close()
	if r.head == 0 {
		return false, nil
	}
	r.tellHidden(s)
	return true, nil
}

func (r *sheetReader) start(name string, attrs []xml.Attr) (err error) {
	switch name {
	case "row":
		err = r.startRow(attrs)
	case "c":
		err = r.startCell(attrs)
	case "f":
		r.cell.formula = true
		if ref := attr(attrs, "ref"); ref != "" && attr(attrs, "t") != "shared" {
			err = r.addArea(&r.spills, ref)
		}
	case "col":
		if isTrue(attr(attrs, "hidden")) {
			first, errFirst := strconv.Atoi(attr(attrs, "min"))
			last, errLast := strconv.Atoi(attr(attrs, "max"))
			r.hiddenColumns = append(r.hiddenColumns, area{left: first - 1, right: last - 1})
			err = errors.Join(errFirst, errLast)
		}
	case "mergeCell":
		err = r.merged(attr(attrs, "ref"))
	default:
		r.cell.text.start(name)
	}
	return err
}

func (r *sheetReader) end(name string) error {
	switch name {
	case "c":
		r.endCell()
	case "row":
		before := len(r.offer.Entries) + len(r.offer.Issues)
		r.table.row(r.row.number, r.row.cells)
		if r.row.hidden && len(r.offer.Entries)+len(r.offer.Issues) > before {
			r.hiddenRows = append(r.hiddenRows, r.row.number)
		}
		if r.enough() {
			return errEnough
		}
	default:
		r.cell.text.end(name)
	}
	return nil
}

func (r *sheetReader) startRow(attrs []xml.Attr) error {
	number := r.row.number + 1
	if s := attr(attrs, "r"); s != "" {
		n, err := strconv.Atoi(s)
		if err != nil || n < number || n > lastRow {
			return bookError("a sound workbook: the rows of a sheet are out of order")
		}
		number = n
	}
	r.row.number, r.row.hidden, r.row.cells = number, isTrue(attr(attrs, "hidden")), r.row.cells[:0]
	r.cell.column = -1
	return nil
}

func (r *sheetReader) startCell(attrs []xml.Attr) error {
	c := &r.cell
	column := c.column + 1
	if ref := attr(attrs, "r"); ref != "" {
		at, err := areaOf(ref)
		if err != nil || at.left < column {
			return bookError("a sound workbook: the cells of a row are out of order")
		}
		column = at.left
	}
	if column >= lastColumn {
		return bookError("a sound workbook: a row has too many cells")
	}
	c.column, c.kind, c.formula, c.style = column, attr(attrs, "t"), false, 0
	if s := attr(attrs, "s"); s != "" {
		n, err := strconv.Atoi(s)
		if err != nil || n < 0 || n >= max(1, len(r.styles)) {
			return bookError("a sound workbook: a cell has a style that is not there")
		}
		c.style = n
	}
	c.text.take()
	return nil
}

// endCell takes a cell, unless nothing is in it.
func (r *sheetReader) endCell() {
	text := r.cell.text.take()
	out := cell{column: r.cell.column, text: text}
	fault := func(why string) { out.holds, out.why = holdsFault, why }
	switch kind := r.cell.kind; {
	case r.cell.formula || r.spilled():
		fault("a value: the cell holds a formula; copy it and paste the value alone")
	case text == "":
		return
	case kind == "s":
		i, err := strconv.Atoi(text)
		if err != nil || i < 0 || i >= len(r.texts) {
			fault("a sound workbook: the cell's text is not there")
			break
		}
		out.text = r.texts[i]
	case kind == "b":
		out.holds, out.text = holdsFlag, strconv.FormatBool(isTrue(text))
	case kind == "e":
		fault("a value: the cell shows an error")
	case kind == "n" || kind == "":
		var format cellFormat
		if r.cell.style < len(r.styles) {
			format = r.styles[r.cell.style]
		}
		out = format.number(r.cell.column, text, r.from1904)
	default: // inlineStr, str, and d: a date as ISO 8601 text
		out.text = text
	}
	if len(out.text) > mostText {
		out.text = ""
		fault("a text of at most 1 MiB")
	}
	if out.holds == holdsText {
		out.text = unescaped(out.text)
	}
	r.row.cells = append(r.row.cells, out)
}

// spilled says whether a formula of another cell fills this one.
func (r *sheetReader) spilled() bool {
	return slices.ContainsFunc(r.spills, func(a area) bool { return a.holds(r.row.number, r.cell.column) })
}

// merged refuses merged cells among entries: one value would stand in one row and seem to stand in all.
func (r *sheetReader) merged(ref string) error {
	a, err := areaOf(ref)
	if err != nil {
		return bookError("a sound workbook: it has merged cells that are none")
	}
	if r.head > 0 && a.bottom >= r.head {
		last := r.rows
		r.rows = min(max(a.top, r.head), last)
		r.add("", entry.CodeFormat, "cells "+shown(ref), "no merged cells among entries: each row has its own")
		r.rows = last
	}
	return nil
}

func (r *sheetReader) addArea(to *[]area, ref string) error {
	a, err := areaOf(ref)
	if err != nil {
		return bookError("a sound workbook: it has a formula for cells that are none")
	}
	*to = append(*to, a)
	return nil
}

// tellHidden tells what was read though nobody sees it.
func (r *sheetReader) tellHidden(s bookSheet) {
	if s.hidden {
		r.offer.note("sheet %s is hidden and was read", shown(s.name))
	}
	if len(r.hiddenRows) > 0 {
		r.offer.note("sheet %s: hidden rows were read: %s", shown(s.name), some(r.hiddenRows, strconv.Itoa))
	}
	var columns []int
	for i, f := range r.columns {
		hidden := slices.ContainsFunc(r.hiddenColumns, func(a area) bool { return a.left <= i && i <= a.right })
		if hidden && f != "" && f != ignored {
			columns = append(columns, i)
		}
	}
	if len(columns) > 0 {
		r.offer.note("sheet %s: hidden columns were read: %s", shown(s.name), some(columns, letters))
	}
}

// some are the first of a list in words, and how many more there are.
func some(list []int, word func(int) string) string {
	const most = 10
	var out []string
	for _, n := range list[:min(len(list), most)] {
		out = append(out, word(n))
	}
	if len(list) > most {
		out = append(out, fmt.Sprintf("and %d more", len(list)-most))
	}
	return strings.Join(out, ", ")
}
