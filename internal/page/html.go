package page

import (
	"bytes"
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

// cssString is s as a string of a style sheet (CSS Syntax Level 3, section 4.3.7);
// the template itself would take it for an address. Letters and digits stay, all
// else is written by its number and the space that ends it, so that nothing can
// end the string or the sheet.
func cssString(s string) template.CSS {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range strings.NewReplacer(isolate, "", release, "").Replace(s) {
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
	Caution, Unit, Moment string
	Foot                  template.CSS
	Heading               []row
	Columns               []string
	Ward                  [][]cell
	Rest                  []row
	Infants               []printedInfant
	Pictured              []pictured
}

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

// HTML is the handover for paper: one page that needs nothing else, A4 or
// Letter, black on white. Moments are clock times, for paper does not age. The
// ward that it was compiled from gives its pictures; the zero ward, none.
func HTML(w io.Writer, h *handover.Handover, ward handover.Ward) error {
	v := newView(h, false)
	p := printed{Caution: Caution, Unit: said(h.Unit), Moment: v.full(h.At), Heading: v.heading(), Rest: v.unitRows()}
	p.Foot = cssString(joined(", ", p.Unit, p.Moment, prefixed("chain ", v.chain())))
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
