package read

import (
	"slices"

	"cotline/handover/entry"
)

// Read reads what was gathered, once it is known which of it is ours. Patients come
// first, because what was observed is of them.
func (r *Resources) Read(g Given) Read {
	d := newReader(r, g)
	for _, o := range r.all {
		if o.kind == "Patient" {
			d.patient(o)
		}
	}
	d.unmet()
	d.tellUnread()
	for _, o := range r.all {
		switch {
		case o.kind == "Patient", o.document:
		case d.ours(o):
			d.back(o)
		case !d.sentByID(o):
			d.foreign(o)
		}
	}
	d.observed()
	d.unmetAmended()
	d.chartAmended()
	slices.SortStableFunc(r.read.Changed, byLine)
	slices.SortStableFunc(r.read.Aside, byLine)
	slices.SortStableFunc(r.read.Issues, byLine)
	return r.read
}

// tellUnread leaves documents of ours aside by name if nothing that was offered carries
// an entry. They would be passed over in silence, as all that is ours.
func (d *reader) tellUnread() {
	for _, o := range d.all {
		if o.document && len(d.seen) == 0 {
			d.aside(o, unread)
		}
	}
}

func byLine(a, b entry.Issue) int { return a.Line - b.Line }
