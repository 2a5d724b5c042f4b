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
	Full      bool   // every fact of each infant, on paper with its pictures; else the short form
	Bare      bool   // no pictures
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
	labelWidth = 13 // of the full form
	shortLabel = 9  // of the short form, after its margin
	margin     = 2
)

// Text is the handover for a terminal, within 100 columns: the ward with all that
// must be seen first, then each infant, in the short form or the full one. In the
// full form moments carry their ages.
func Text(w io.Writer, h *handover.Handover, o Options) error {
	h = o.named(h)
	v := newView(h, o.Full)
	t := &terminal{colour: o.Colour}
	if warning := h.Warning(); warning != "" {
		t.strong(warning)
		t.blank()
	}
	t.paragraph(Caution)
	t.blank()
	t.strong(said(h.Unit))
	for _, r := range v.heading(o.Full) {
		t.row(r)
	}
	t.blank()
	t.ward(v)
	for _, r := range v.unitRows() {
		t.row(r)
	}
	for _, f := range h.Infants {
		if o.Full {
			t.infant(v, f)
		} else {
			t.short(v.nearly(f), f)
		}
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
	t.look(lookAt(f))
	t.paragraph(strings.Join(v.identity(f), "; "))
	for _, r := range v.rows(f) {
		t.row(r)
	}
}

// shortLines is how many lines an infant should take in the short form.
const shortLines = 13

// short is an infant in the short form: one line to know it by, then what to look at
// first, then its facts, a row of them on lines of its own. Of an infant of whom there
// is more to tell than there are lines, what stands after a mark already and what was in
// order is left out first; then rows that fit follow one another on a line; at the end
// all lines are filled. A note to be read out takes the lines that it needs.
func (t *terminal) short(v view, f *handover.Summary) {
	t.blank()
	less := withoutMarked(f)
	var block string
	for _, rows := range []func(*terminal){
		func(t *terminal) { t.labelled(v, f, f) },
		func(t *terminal) { t.labelled(v, f, less) },
		func(t *terminal) { t.following(v, f, less, false) },
		func(t *terminal) { t.following(v, f, less, true) },
	} {
		out := terminal{colour: t.colour}
		out.oneLine("  ", append(shortName(f), v.shortAge(f)))
		rows(&out)
		if block = out.b.String(); strings.Count(block, "\n") <= shortLines+readOutLines(f) {
			break
		}
	}
	t.b.WriteString(block)
}

// readOutLines are the lines that notes to be read out take beyond their first.
func readOutLines(f *handover.Summary) int {
	wide := 0
	for _, a := range f.Attention {
		if a.What == "read-out" {
			wide += columns(a.Text)
		}
	}
	return wide / (textWidth - margin - len(eyes))
}

// labelled tells the rows of some facts of an infant, each under its label.
func (t *terminal) labelled(v view, f, facts *handover.Summary) {
	t.look(aboveLines(f))
	for _, r := range v.short(facts) {
		t.block(strings.Repeat(" ", margin)+r.Label, margin+shortLabel, true, func(p *para) { p.items(r.Items) })
	}
}

// following tells the rows one after another, each after its label in capitals. A row
// begins a line of its own unless all of it fits on the line before, or lines are filled.
func (t *terminal) following(v view, f, facts *handover.Summary, filled bool) {
	above := aboveLines(f)
	t.look(look{Now: above.Now})
	rows := v.short(facts)
	if len(above.Know) > 0 {
		rows = append([]row{{Label: "Know", Items: []item{{Text: strings.Join(above.Know, "; ")}}}}, rows...)
	}
	t.block("", margin, true, func(p *para) {
		for _, r := range rows {
			items := slices.Clone(r.Items)
			items[len(items)-1].Text = ended(items[len(items)-1].Text)
			if wide := columns(rowSaid(r)); !filled && p.used > 0 && p.used+2+wide > p.width {
				p.newLine()
			}
			label := strings.ToUpper(r.Label)
			if r.Label == "Due" { // which says so itself
				items[0].Text = strings.Replace(items[0].Text, "due since: ", "DUE since: ", 1)
				if strings.HasPrefix(items[0].Text, "DUE ") || strings.HasPrefix(items[0].Text, "OVERDUE ") {
					label = ""
				}
			}
			p.words(label, true)
			p.items(items)
		}
	})
}

// ended is text with a full stop, unless it ends in a sentence that was charted.
func ended(text string) string {
	if charted, ok := strings.CutSuffix(text, "”"); ok && strings.HasSuffix(plainText(charted), ".") {
		return text
	}
	return text + "."
}

// rowSaid is a row on one line.
func rowSaid(r row) string {
	texts := make([]string, len(r.Items))
	for i, it := range r.Items {
		texts[i] = settle(it.Text)
	}
	return r.Label + " " + strings.Join(texts, "; ")
}

// look tells what must be seen first, line after line. Each thing that needs a person
// now has the mark before it, wherever on a line it begins; what goes on from the line
// before stands farther in. What is to be known begins a line of its own.
func (t *terminal) look(l look) {
	if len(l.Now) > 0 {
		p := &para{width: textWidth - 2*margin, dense: true}
		for i, text := range l.Now {
			words := strings.Fields(settle(text))
			if i < len(l.Now)-1 {
				words[len(words)-1] += ";"
			}
			p.word(eyes+words[0], true)
			for _, w := range words[1:] {
				p.word(w, true)
			}
		}
		balance(p.lines)
		for i, line := range p.lines {
			lead := margin
			if i > 0 && !strings.HasPrefix(line[0].text, eyes) {
				lead += margin
			}
			t.line(strings.Repeat(" ", lead) + t.painted(line, eyesColour))
		}
	}
	if len(l.Know) > 0 {
		t.block("", margin+len(eyes), true, func(p *para) { p.words(settle(l.KnowSaid()), false) })
	}
}

func (t *terminal) line(s string) { t.b.WriteString(strings.TrimRight(s, " ") + "\n") }

func (t *terminal) blank() { t.line("") }

func (t *terminal) paragraph(s string) {
	t.block("", 0, false, func(p *para) { p.words(settle(s), false) })
}

// oneLine is a heading of several parts, on one line where it has room.
func (t *terminal) oneLine(between string, parts []string) {
	line := settle(joined(between, parts...))
	if columns(line) <= textWidth {
		t.line(t.painted([]piece{{line, true}}, strongColour))
		return
	}
	t.block("", 0, true, func(p *para) { p.words(line, true) })
}

// strong is a heading.
func (t *terminal) strong(s string) {
	t.block("", 0, false, func(p *para) { p.words(settle(s), true) })
}

// row is a label and its facts, further lines under the facts.
func (t *terminal) row(r row) {
	t.block(r.Label, labelWidth, false, func(p *para) { p.items(r.Items) })
}

func (t *terminal) block(label string, indent int, dense bool, fill func(p *para)) {
	p := &para{width: textWidth - indent, dense: dense}
	fill(p)
	balance(p.lines)
	for i, line := range p.lines {
		if i > 0 {
			label = ""
		}
		t.line(pad(label, indent) + t.painted(line, strongColour))
	}
}

// Select graphic rendition (ECMA-48): bold red is of what needs a person now, bold of
// a heading.
const (
	eyesColour   = "\x1b[1;31m"
	strongColour = "\x1b[1m"
)

// painted is a line, its marked pieces in colour where that is wanted.
func (t *terminal) painted(line []piece, colour string) string {
	var b strings.Builder
	for _, p := range line {
		if p.mark && t.colour && colour != "" {
			b.WriteString(colour + p.text + "\x1b[0m")
		} else {
			b.WriteString(p.text)
		}
	}
	return b.String()
}

func pad(s string, width int) string { return s + strings.Repeat(" ", max(0, width-columns(s))) }

// ward is a line an infant, in columns as wide as they need to be, and beneath it all
// that must be seen first of the infant.
func (t *terminal) ward(v view) {
	head, rows := v.wardList()
	limits := []int{8, 40, 12}
	widths := make([]int, len(head))
	left := textWidth
	for c, title := range head {
		widths[c] = columns(title)
		for _, r := range rows {
			widths[c] = max(widths[c], columns(settle(r[c])))
		}
		if c < len(limits) {
			widths[c] = min(widths[c], limits[c])
			left -= widths[c] + 2
		} else {
			widths[c] = left
		}
	}
	t.columns(head, widths)
	for i, r := range rows {
		t.columns(r, widths)
		t.look(lookAt(v.ward.Infants[i]))
	}
}

// columns is one line of a table; what is wider than its column goes on below.
func (t *terminal) columns(cells []string, widths []int) {
	paras := make([]*para, len(cells))
	deepest := 0
	for c, text := range cells {
		paras[c] = &para{width: widths[c]}
		paras[c].words(settle(text), false)
		balance(paras[c].lines)
		deepest = max(deepest, len(paras[c].lines))
	}
	for i := range deepest {
		var b strings.Builder
		for c, p := range paras {
			text := ""
			if i < len(p.lines) {
				for _, x := range p.lines[i] {
					text += x.text
				}
			}
			b.WriteString(pad(text, widths[c]+2))
		}
		t.line(b.String())
	}
}
