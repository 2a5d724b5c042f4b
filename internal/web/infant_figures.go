package web

import (
	"slices"
	"strings"

	"cotline/handover"
	"cotline/internal/page"
	"cotline/internal/sheets"
	"cotline/internal/web/words"
)

// toldRow is a line of the short form that opens: to each figure that it is made of, with
// the entry that this comes from, and to what lacks where one cannot be computed.
type toldRow struct {
	ID string // of what opens
	page.Row
	Figures []figureLine
	Lacks   []page.Lack
}

type figureLine struct {
	Fact, Value, Remark string
	When, By            string
	Path                string // of its entry, empty where it is computed from several or is not charted
	Of                  string // path in the JSON form
}

// topic is a picture with the lines of facts that it shows beside it.
type topic struct {
	ID, Name string
	Picture  *picture
	Rows     []page.Row
}

// rowsOfFigures are the lines of the infant's page in order, each with the facts that open
// under it, by the first step of their path. The short form has no line of growth, cares
// and the rest: they stand as in the full one.
var rowsOfFigures = []struct{ label, id, paths string }{
	{words.Key("Due"), "due", "next tasks plans"},
	{words.Key("Support"), "support", "support settings limits fio2 spo2 indices"},
	{words.Key("Seen"), "seen", "observations silverman gas episodes alarms"},
	{words.Key("Face"), "face", "interface rotation hoursUnder skin bonnet"},
	{words.Key("Tube"), "tube", "tubes"},
	{words.Key("Warmth"), "warmth", "humidifier setup safety"},
	{words.Key("Growth"), "growth", "head weight birthWeight"},
	{words.Key("Cares"), "cares", "cares"},
	{words.Key("Outlook"), "outlook", "outlook notes told thresholds remarks doubts"},
	{words.Key("Handed"), "handed", "handedOver since new"},
	{words.Key("Gaps"), "gaps", "gaps notComputed old"},
	{words.Key("Who"), "who", "sex mother visit birthOrder multiples age"},
}

// lookFigures open under what to look at first.
const lookFigures = "attention"

// topics are the pictures, and the lines of the full form that each shows.
var topics = []struct{ picture, id, name, labels string }{
	{"shift", "shift", words.Key("The shift"), "Support, Limits, Oxygen, Seen, Gas, Alarms, Outlook"},
	{"face", "skin", words.Key("Face and skin"), "Interface, Skin"},
	{"head", "head", words.Key("Head and growth"), "Growth, Growth by"},
}

// openRows are the lines of an infant with what each opens to. A fact whose path nobody
// sorted opens under the last.
func (c *charting) openRows(screen *page.Screen, told page.Told) (look toldRow, rows []toldRow) {
	look = toldRow{ID: "of-look"}
	for _, x := range rowsOfFigures {
		row := toldRow{ID: "of-" + x.id, Row: page.Row{Label: words.Text(x.label)}}
		for _, from := range [][]page.Row{told.Short, told.Full} {
			if at := labelled(from, x.label); at >= 0 && len(row.Facts) == 0 {
				row.Row = from[at]
			}
		}
		rows = append(rows, row)
	}
	under := func(path string) *toldRow {
		root, _, _ := strings.Cut(path, ".")
		if root == lookFigures {
			return &look
		}
		for i, x := range rowsOfFigures {
			if slices.Contains(strings.Fields(x.paths), root) {
				return &rows[i]
			}
		}
		return &rows[len(rows)-1]
	}
	for _, x := range sheets.Figures(c.summary, c.policy.Zone) {
		row := under(x.Path)
		row.Figures = append(row.Figures, c.figureLine(screen, x))
	}
	for _, x := range screen.Lacking(c.summary) {
		row := under(x.Path)
		row.Lacks = append(row.Lacks, x)
	}
	return look, slices.DeleteFunc(rows, func(r toldRow) bool { return len(r.Facts)+len(r.Figures)+len(r.Lacks) == 0 })
}

func labelled(rows []page.Row, label string) int {
	return slices.IndexFunc(rows, func(r page.Row) bool { return r.Label == label })
}

// figureLine is a figure with the path of its entry.
func (c *charting) figureLine(screen *page.Screen, x sheets.Figure) figureLine {
	l := figureLine{Of: x.Path, Fact: x.Fact, Value: x.Value, Remark: x.Remark}
	switch {
	case !x.At.IsZero():
		l.When = screen.When(x.At)
	case !x.None:
		l.When = x.Whence
	}
	if x.By != "" {
		l.By = staffSaid(c.policy, x.By)
	}
	switch {
	case x.Path == "handedOver.entry":
		l.Path = handedPath(c.r.unit, x.Value)
	case c.holds(x.Entry):
		l.Path = entriesAt(c.r.unit, c.infant, x.Entry)
	}
	return l
}

// topicsOf are the pictures that were drawn, with their lines; rest are all other lines.
func topicsOf(drawn []page.Picture, told page.Told) (out []topic, rest []page.Row) {
	rest = slices.Clone(told.Full)
	for _, x := range topics {
		t := topic{ID: x.id, Name: words.Text(x.name)}
		for _, d := range drawn {
			if d.Name == x.picture {
				t.Picture = drawing(d)
			}
		}
		for _, label := range strings.Split(x.labels, ", ") {
			if at := labelled(rest, label); at >= 0 {
				t.Rows, rest = append(t.Rows, rest[at]), slices.Delete(rest, at, at+1)
			}
		}
		if t.Picture != nil || len(t.Rows) > 0 {
			out = append(out, t)
		}
	}
	return out, rest
}

// figuresOf are all of an infant's figures with what each lacks, as the page of figures has
// them.
func (c *charting) figuresOf(screen *page.Screen) (figures []figureLine, lacks []lacking) {
	for _, x := range sheets.Figures(c.summary, c.policy.Zone) {
		figures = append(figures, c.figureLine(screen, x))
	}
	for _, x := range c.summary.NotComputed {
		lacks = append(lacks, lacking{handover.LabelOf(x.Path), x.Why})
	}
	return figures, lacks
}
