package page

import (
	"bytes"
	"cmp"
	_ "embed" // the page stands in a file of its own
	"fmt"
	"html/template"
	"io"
	"strings"
	"unicode"

	"cotline/handover"
)

//go:embed page.html.tmpl
var pageText string

// printPage is parsed once; a fault in it stops the program at its start.
var printPage = template.Must(template.New("page").Funcs(template.FuncMap{"spans": spans}).Parse(pageText))

// Span is a stretch of text; one that was charted stands apart from its
// surroundings, whatever way it is written.
type Span struct {
	Text  string
	Apart bool
}

// spans splits text at its isolates.
func spans(s string) []Span {
	var out []Span
	for s != "" {
		before, rest, found := strings.Cut(s, isolate)
		if before != "" {
			out = append(out, Span{Text: before})
		}
		if !found {
			break
		}
		inner, after, _ := strings.Cut(rest, release)
		out = append(out, Span{inner, true})
		s = after
	}
	return out
}

// cssString is s as a string of a style sheet (CSS Syntax Level 3, section 4.3.7);
// the template itself would take it for an address. Letters and digits stay, all
// else is written by its number and the space that ends it, so that nothing can
// end the string or the sheet.
func cssString(s string) template.CSS {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range plainText(s) {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || r == ' ' {
			b.WriteRune(r)
		} else {
			fmt.Fprintf(&b, "\\%06x ", r)
		}
	}
	b.WriteByte('"')
	return template.CSS(b.String()) // #nosec G203 -- letters, digits and blanks alone stand as they are
}

type printed struct {
	Title, Caution, Unit, By, Destroy string
	Paper                             string
	Full, Pictured                    bool
	Margins                           margins
	Heading                           []row
	Columns                           []string
	Warning                           string // of a damaged record
	Ward                              []printedLine
	Rest                              []row
	Infants                           []printedInfant
}

// margins are what stands on every sheet, beside its number.
type margins struct{ Printed, Caution, Destroy, Told template.CSS }

// printedLine is an infant in the ward list.
type printedLine struct {
	Cells []string
	Look  look
}

// printedInfant is an infant's part: in the full form with its pictures, which then
// stand beside its words on a sheet of its own.
type printedInfant struct {
	Called, Age string
	Identity    []string
	Look        look
	Rows        []row
	Pictures    []printedPicture
}

type printedPicture struct {
	Name string
	SVG  template.HTML
}

// Papers are the sizes of paper that a page can be made for.
var Papers = []string{"A4", "letter"}

// toWrite is a line to write on.
const toWrite = "____________________"

// HTML is the handover for paper: one page that needs nothing else, A4 or
// Letter, black on white. Moments are clock times, for paper does not age. In the
// short form two infants stand on a sheet; in the full one each has a sheet of its
// own with its pictures beside its words, or half of one without. The ward that it was compiled from
// gives pictures and the end of the shift; the zero ward, none.
func HTML(w io.Writer, h *handover.Handover, ward handover.Ward, o Options) error {
	h = o.named(h)
	v := newView(h, false)
	unit, moment, destroy := said(h.Unit), v.full(h.At), "at the end of the shift"
	if ward.Policy != nil {
		destroy = "by " + v.full(ward.Policy.ShiftEnd(h.At))
	}
	damaged := ""
	if len(h.Findings) > 0 {
		damaged = "RECORD DAMAGED"
	}
	p := printed{
		Warning: h.Warning(), Title: plainText(joined(", ", unit, moment)), Caution: Caution, Unit: unit, By: said(o.PrintedBy),
		Destroy: destroy,
		Paper:   o.Paper, Full: o.Full,
		Margins: margins{
			Printed: cssString("printed by " + cmp.Or(said(o.PrintedBy), toWrite)), Caution: cssString(shortCaution),
			Destroy: cssString("destroy " + destroy), Told: cssString(joined(", ", damaged, unit, moment, prefixed("chain ", v.chain()))),
		},
		Heading: v.heading(o.Full), Rest: v.unitRows(),
	}
	columns, cells := v.wardList()
	p.Columns = append(columns, "Look first")
	for i, f := range h.Infants {
		p.Ward = append(p.Ward, printedLine{cells[i], lookAt(f)})
		x := v.printed(f, o.Full)
		if o.Full && !o.Bare {
			for _, d := range picturesIn(aside, h, ward, f) {
				drawn := template.HTML(d.SVG) // #nosec G203 -- our own drawing, which escapes what was charted
				x.Pictures = append(x.Pictures, printedPicture{d.Name, drawn})
				p.Pictured = true
			}
		}
		p.Infants = append(p.Infants, x)
	}
	var b bytes.Buffer
	if err := printPage.Execute(&b, p); err != nil {
		return err
	}
	_, err := w.Write(b.Bytes())
	return err
}

// printed is an infant's part in the form asked for.
func (v view) printed(f *handover.Summary, full bool) printedInfant {
	if full {
		return printedInfant{Called: "Cot " + called(f), Identity: v.identity(f), Look: lookAt(f), Rows: v.rows(f)}
	}
	v = v.nearly(f)
	return printedInfant{Called: strings.Join(shortName(f), "  "), Age: v.shortAge(f), Look: aboveLines(f), Rows: v.short(f)}
}
