package page

import (
	"io"
	"slices"
	"strings"

	"cotline/handover"
)

// Options are the reader's.
type Options struct {
	Initials  bool   // of infants' names, in their place
	Colour    bool   // on a terminal: beside words and marks, never instead of them
	PrintedBy string // on paper; empty: a line to write on
	Paper     string // one of Papers; empty: the printer's
}

// named is the handover with infants called as the reader wants them.
func (o Options) named(h *handover.Handover) *handover.Handover {
	if o.Initials {
		return withInitials(h)
	}
	return h
}

const (
	textWidth  = 100
	labelWidth = 13
)

// Text is the handover for a terminal, within 100 columns: the ward in a line an
// infant, then each infant. Moments carry their ages.
func Text(w io.Writer, h *handover.Handover, o Options) error {
	h = o.named(h)
	v := newView(h, true)
	t := &terminal{colour: o.Colour}
	if warning := h.Warning(); warning != "" {
		t.strong(warning)
		t.blank()
	}
	t.paragraph(Caution)
	t.blank()
	t.strong(said(h.Unit))
	for _, r := range v.heading() {
		t.row(r)
	}
	t.blank()
	t.table(v.wardList())
	for _, r := range v.unitRows() {
		t.row(r)
	}
	for _, f := range h.Infants {
		t.infant(v, f)
	}
	_, err := io.WriteString(w, t.b.String())
	return err
}

type terminal struct {
	b      strings.Builder
	colour bool
}

func (t *terminal) infant(v view, f *handover.Summary) {
	t.blank()
	t.line(strings.Repeat("-", textWidth))
	t.strong("COT " + called(f))
	t.paragraph(strings.Join(v.identity(f), "; "))
	for _, warning := range v.warnings(f) {
		t.row(row{Items: []item{{warning, true}}})
	}
	for _, r := range v.rows(f) {
		t.row(r)
	}
}

func (t *terminal) line(s string) { t.b.WriteString(strings.TrimRight(s, " ") + "\n") }

func (t *terminal) blank() { t.line("") }

func (t *terminal) paragraph(s string) {
	t.block("", 0, func(p *para) { p.words(settle(s), false) }, "")
}

// strong is a heading.
func (t *terminal) strong(s string) {
	t.block("", 0, func(p *para) { p.words(settle(s), true) }, "\x1b[1m")
}

// row is a label and its facts, further lines under the facts.
func (t *terminal) row(r row) {
	t.block(r.Label, labelWidth, func(p *para) { p.items(r.Items) }, eyesColour)
}

func (t *terminal) block(label string, indent int, fill func(p *para), colour string) {
	p := &para{width: textWidth - indent}
	fill(p)
	balance(p.lines)
	for i, line := range p.lines {
		if i > 0 {
			label = ""
		}
		t.line(pad(label, indent) + t.painted(line, colour))
	}
}

// eyesColour is bold red, of what needs eyes (ECMA-48, select graphic rendition).
const eyesColour = "\x1b[1;31m"

// painted is a line, its marked pieces in colour where that is wanted.
func (t *terminal) painted(line []piece, colour string) string {
	var b strings.Builder
	for _, p := range line {
		if p.mark && t.colour {
			b.WriteString(colour + p.text + "\x1b[0m")
		} else {
			b.WriteString(p.text)
		}
	}
	return b.String()
}

func pad(s string, width int) string { return s + strings.Repeat(" ", max(0, width-columns(s))) }

// table is laid out in columns as wide as they need to be, the last as wide as
// is left; what is wider goes on below.
func (t *terminal) table(head []string, rows [][]cell) {
	limits := []int{8, 28, 12, 20}
	widths := make([]int, len(head))
	for c, title := range head {
		widths[c] = columns(title)
		for _, r := range rows {
			widths[c] = max(widths[c], columns(r[c].Text))
		}
	}
	left := textWidth
	for c := range head {
		if c < len(limits) {
			widths[c] = min(widths[c], limits[c])
			left -= widths[c] + 2
		} else {
			widths[c] = left
		}
	}
	titles := make([]cell, len(head))
	for c, title := range head {
		titles[c] = cell{Text: title}
	}
	for _, r := range slices.Concat([][]cell{titles}, rows) {
		t.tableRow(r, widths)
	}
}

func (t *terminal) tableRow(r []cell, widths []int) {
	paras := make([]*para, len(r))
	deepest := 0
	for c := range r {
		paras[c] = &para{width: widths[c]}
		paras[c].words(settle(r[c].Text), r[c].Mark)
		balance(paras[c].lines)
		deepest = max(deepest, len(paras[c].lines))
	}
	for i := range deepest {
		var b strings.Builder
		for c, p := range paras {
			var line []piece
			if i < len(p.lines) {
				line = p.lines[i]
			}
			width := 0
			for _, x := range line {
				width += columns(x.text)
			}
			b.WriteString(t.painted(line, eyesColour) + strings.Repeat(" ", widths[c]-width))
			if c < len(paras)-1 {
				b.WriteString("  ")
			}
		}
		t.line(b.String())
	}
}
