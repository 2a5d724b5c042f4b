package sheets

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"
	"unicode"

	"cotline/handover"
	"cotline/handover/entry"
)

// Preset is a form of CSV.
type Preset struct {
	Name    string
	mark    string // before the first header
	comma   rune
	decimal string
	moment  func(time.Time) string
	says    string // of the form, in README.txt
}

// Presets are the forms of CSV: one for programs, one for a spreadsheet program on a machine that writes decimals with a
// comma.
var Presets = []Preset{
	{Name: "machine", comma: ',', decimal: ".",
		moment: func(t time.Time) string { return entry.Stamp(t, t.Location()) },
		says: "For programs: RFC 4180, UTF-8 without a byte order mark, a comma between cells, a point before decimals, CRLF after\n" +
			"a row. A moment is RFC 3339 in the unit's zone, with its offset from UTC: 2026-03-09T07:30:00+01:00."},
	{Name: "local", mark: "\ufeff", comma: ';', decimal: ",",
		moment: func(t time.Time) string { return t.Format("2006-01-02 15:04:05") },
		says: "For a spreadsheet program that writes decimals with a comma: UTF-8 with a byte order mark, a semicolon between\n" +
			"cells, a comma before decimals, CRLF after a row. A moment is the clock's time in the unit's zone, as\n" +
			"2026-03-09 07:30:00; its offset from UTC stands in the column beside it and alone tells apart the two hours of the\n" +
			"night the clock goes back."},
}

// PresetOf is the preset of a name.
func PresetOf(name string) (Preset, bool) {
	i := slices.IndexFunc(Presets, func(p Preset) bool { return p.Name == name })
	if i < 0 {
		return Preset{}, false
	}
	return Presets[i], true
}

// CSV writes the tables of the workbook, each as a file of its own by way of file, then dictionary.csv, which tells every
// column, and README.txt. What it takes is as for Workbook.
//
// A row is a header and what the sheet holds, without the title line. Texts that a spreadsheet program would read as a
// formula are guarded by an apostrophe; numbers, moments and days never are.
func CSV(p Preset, h *handover.Handover, entries []*entry.Entry, policy *handover.Policy, version string,
	file func(name string, write func(io.Writer) error) error) error {
	of := newTables(h, entries, policy, version)
	tables, about := of.files(), of.about()
	var tallies []tally
	write := func(s sheet) error {
		return file(fileOf(s.name), func(w io.Writer) error {
			rows, err := p.table(w, s)
			tallies = append(tallies, tally{s.name, rows, 1, nil})
			return err
		})
	}
	for _, s := range tables {
		if err := write(s); err != nil {
			return err
		}
	}
	tables = append(tables, about(tallies))
	tables = append(tables, dictionary(h.Zone, tables))
	for _, s := range tables[len(tables)-2:] {
		if err := write(s); err != nil {
			return err
		}
	}
	return file("README.txt", func(w io.Writer) error { return p.readme(w, h, tables) })
}

func fileOf(sheet string) string {
	return strings.ReplaceAll(strings.ToLower(sheet), ", ", "-") + ".csv"
}

// table writes one table, and says of how many rows. Line breaks within a text stay as charted; a row ends in CRLF.
func (p Preset) table(out io.Writer, s sheet) (rows int, err error) {
	var row bytes.Buffer
	w := csv.NewWriter(&row)
	w.Comma = p.comma
	write := func(fields []string) error {
		row.Reset()
		if err := w.Write(fields); err != nil {
			return err
		}
		w.Flush()
		row.Truncate(row.Len() - 1) // the writer's own LF
		row.WriteString("\r\n")
		_, err := out.Write(row.Bytes())
		return err
	}
	if _, err := io.WriteString(out, p.mark); err != nil {
		return 0, err
	}
	if err := write(s.heads); err != nil {
		return 0, err
	}
	fields := make([]string, len(s.heads))
	for _, cells := range s.rows {
		for i, c := range cells {
			fields[i] = p.cell(c)
		}
		if err := write(fields); err != nil {
			return rows, err
		}
		rows++
	}
	return rows, nil
}

func (p Preset) cell(c cell) string {
	text := p.plain(c)
	if c.show == showWord || c.show == showText {
		return guarded(text)
	}
	return text
}

// plain is a value as text.
func (p Preset) plain(c cell) string {
	switch c.show {
	case showNumber:
		return strings.Replace(c.number.String(), ".", p.decimal, 1)
	case showMoment:
		return p.moment(c.when)
	case showDay:
		return c.when.Format(time.DateOnly)
	case showOffset:
		return "UTC" + c.text // alone, + and - would have to be guarded
	}
	return c.text
}

// guarded is a text that no spreadsheet program takes for a formula.
func guarded(s string) string {
	if armed(s) {
		return "'" + s
	}
	return s
}

// armed says whether a text, or what comes after apostrophes and blanks, starts as a formula may: = + - @, their
// full-width forms, or a control character that a program may drop. Looking past apostrophes lets a reader take off
// exactly the one that was put before.
func armed(s string) bool {
	s = strings.TrimLeft(s, "'")
	if s == "" {
		return false
	}
	if strings.ContainsRune("\t\r\n", rune(s[0])) {
		return true
	}
	s = strings.TrimLeftFunc(s, func(r rune) bool { return r == '\'' || unicode.IsSpace(r) || r == 0xfeff || r == 0x200b })
	return s != "" && strings.ContainsRune("=+-@＝＋－＠", []rune(s)[0])
}

func (p Preset) readme(w io.Writer, h *handover.Handover, tables []sheet) error {
	var files strings.Builder
	for _, s := range tables {
		fmt.Fprintf(&files, "  %s\n", fileOf(s.name))
	}
	if len(h.Findings) > 0 {
		if _, err := fmt.Fprintf(w, "%s\n\n", damaged); err != nil {
			return err
		}
	}
	_, err := fmt.Fprintf(w, `%s
CSV of the handover, preset %s

%s

Moment: %s (%s). Written down by: %s.

%s

Texts. A text that starts with = + - @ (full-width forms too), a tab or a line break would be taken for a formula by a
spreadsheet program; here an apostrophe (') stands before it. A program that wants the text as it was charted takes one
apostrophe off where one of these follows, blanks and further apostrophes looked through. Numbers, moments and days are
never guarded; an offset is written UTC+01:00. A spreadsheet program that saves these files again may arm the texts.

Identifiers, hospital numbers too, are texts: read them as text, or zeros before them are lost. A program that opens a
file by itself may turn texts into numbers and dates; its import asks for the type of each column.

Cells are never empty. "%s": it applies, and nobody charted it; it is not normal, not zero and not none.
"%s": it has no meaning for this infant now. "%s": nothing is in this list. "–": the row has no such part. "%s": the name is
restricted. A column of numbers may hold these words.

Files, one a sheet of the workbook; dictionary.csv tells every column:
%s
Confidential: identifies infants. Keep, share and destroy these files by your unit's rules for records.
`, h.Unit, p.Name, longCaution, entry.Stamp(h.At, h.Zone), h.Zone, entry.Stamp(h.Known, h.Zone), p.says, notCharted, doesNotApply, none, notShown, files.String())
	return err
}
