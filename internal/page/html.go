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

// span is a stretch of text; one that was charted stands apart from its
// surroundings, whatever way it is written.
type span struct {
	Text  string
	Apart bool
}

// spans splits text at its isolates.
func spans(s string) []span {
	var out []span
	for s != "" {
		before, rest, found := strings.Cut(s, isolate)
		if before != "" {
			out = append(out, span{Text: before})
		}
		if !found {
			break
		}
		inner, after, _ := strings.Cut(rest, release)
		out = append(out, span{inner, true})
		s = after
	}
	return out
}

// plainText is text for where nothing can stand apart.
func plainText(s string) string { return strings.NewReplacer(isolate, "", release, "").Replace(s) }

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
	return template.CSS(b.String())
}

type printed struct {
	Title, Caution, Unit, By, Destroy string
	Paper                             string
	Margins                           margins
	Heading                           []row
	Columns                           []string
	Ward                              [][]cell
	Warning                           string // of a damaged record
	Rest                              []row
	Infants                           []printedInfant
	Pictured                          []pictured
}

// margins are what stands on every sheet, beside its number.
type margins struct{ Printed, Caution, Destroy, Told template.CSS }

// pictured is an infant's pictures; they stand after all summaries, so that these
// keep their half sheets.
type pictured struct {
	Called   string
	Pictures []template.HTML
}

type printedInfant struct {
	Called   string
	Identity []string
	Warnings []string
	Rows     []row
}

// Papers are the sizes of paper that a page can be made for.
var Papers = []string{"A4", "letter"}

// toWrite is a line to write on.
const toWrite = "____________________"

// HTML is the handover for paper: one page that needs nothing else, A4 or
// Letter, black on white. Moments are clock times, for paper does not age. The
// ward that it was compiled from gives its pictures and the end of the shift; the
// zero ward, none.
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
		Warning: h.Warning(), Title: plainText(joined(", ", unit, moment)), Caution: Caution, Unit: unit, By: said(o.PrintedBy), Destroy: destroy,
		Paper: o.Paper,
		Margins: margins{
			Printed: cssString("printed by " + cmp.Or(said(o.PrintedBy), toWrite)), Caution: cssString(shortCaution),
			Destroy: cssString("destroy " + destroy), Told: cssString(joined(", ", damaged, unit, moment, prefixed("chain ", v.chain()))),
		},
		Heading: v.heading(), Rest: v.unitRows(),
	}
	p.Columns, p.Ward = v.wardList()
	for _, f := range h.Infants {
		p.Infants = append(p.Infants, printedInfant{
			Called:   "Cot " + called(f),
			Identity: v.identity(f), Warnings: v.warnings(f), Rows: v.rows(f),
		})
		if drawn := Pictures(h, ward, f); len(drawn) > 0 {
			x := pictured{Called: "Cot " + called(f)}
			for _, d := range drawn {
				x.Pictures = append(x.Pictures, template.HTML(d.SVG)) // our own drawing, which escapes what was charted
			}
			p.Pictured = append(p.Pictured, x)
		}
	}
	var b bytes.Buffer
	if err := printPage.Execute(&b, p); err != nil {
		return err
	}
	_, err := w.Write(b.Bytes())
	return err
}
