package fhir

import (
	"strings"

	"cotline/fhir/internal/r4"
	"cotline/handover"
)

// firstLines are what to look at first, in the words and in the order of the ward line.
// What needs somebody stands before what is to be known, and is marked as on every
// other face.
func (d *document) firstLines(p *r4.Prose) {
	for _, of := range []struct{ level, mark string }{{handover.Now, "!! "}, {handover.Know, ""}} {
		for _, x := range d.s.Attention {
			if x.Level == of.level {
				p.Line(of.mark+x.Text, d.when(x.At))
			}
		}
	}
}

// nextLines are the plan ahead.
func (d *document) nextLines(p *r4.Prose) {
	for _, x := range d.s.Next {
		on := d.when(x.DueAt)
		if !x.On.IsZero() {
			on = x.On.String()
		}
		p.Line(r4.Pair("next", x.What), x.Care, x.Text, on, r4.Pair("overdue", d.when(x.OverdueAt)))
	}
}

// handedLines are the latest handing over, and what had happened before it but was not
// known then.
func (d *document) handedLines(p *r4.Prose) {
	if h := d.s.HandedOver; h != nil {
		p.Line("handed over as of "+d.when(h.AsOf), d.when(h.At), r4.Pair("by", h.By), r4.Pair("to", h.To))
		if a := h.Accepted; a != nil {
			p.Line("taken over "+d.when(a.At), r4.Pair("by", a.By))
			p.Line(r4.Pair("confirmed", strings.Join(a.Confirmed, ", ")))
			p.Line(r4.Pair("not confirmed", strings.Join(a.NotConfirmed, ", ")))
			if a.ReadBack != nil {
				p.Line(r4.Pair("read back", yesOrNo(*a.ReadBack)))
			}
			p.Line(r4.Pair("asked", a.Asked))
		} else {
			p.Line("not taken over")
		}
	}
	for _, l := range d.Handover.Late {
		if l.Infant == d.s.Infant {
			p.Line(lateWords[l.How]+": "+l.Text, d.when(l.At), r4.Pair("charted", d.when(l.Charted)), r4.Pair("by", l.By))
		}
	}
}

var lateWords = map[string]string{"arrived": "arrived late", "written": "written late"}
