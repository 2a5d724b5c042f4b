package forms

import (
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/web/words"
)

// Control is what a page asks one thing with.
type Control struct {
	Name              string // of its input, or what the names of those in it begin with
	As                string // one of the words below
	Label, Unit, Help string
	Required          bool
	Value             string
	Options           []Option
	In                []*Control // of a group, or the rows of a list
	RowName           string     // of a row that has a name of its own
	Day, Time         string     // of a moment
	Which             string     // of a moment: the whole of it, as it was charted or chosen
	Now, MayBeNow     bool       // of a moment
	Fault             string
	Asked             []Option // moments to choose from, where a time means more than one
	Before            string   // what was charted last, with its age, in words
}

// How a control asks.
const (
	AsLine   = "line"
	AsText   = "text"
	AsNumber = "number"
	AsChoice = "choice"
	AsMany   = "many"
	AsMoment = "moment"
	AsBirth  = "birth"
	AsGroup  = "group"
	AsRows   = "rows"
)

// Option is one to choose.
type Option struct {
	Value, Label string
	Checked      bool
}

// Asked is what forms are made for.
type Asked struct {
	Policy *handover.Policy
	// Now is the moment that an entry without a time is charted for.
	Now time.Time
	// Choices are those of references and keys, by the field's name.
	Choices map[string][]Option
	// Round says that there are several entries to chart, each of which may be left out.
	Round bool
}

// Controls are the fields of a kind as a page asks them, filled with what was posted.
func (a *Asked) Controls(prefix string, specs []entry.Spec, posted url.Values, faults Faults) []*Control {
	out := make([]*Control, 0, len(specs))
	for i := range specs {
		out = append(out, a.control(prefix+"."+specs[i].Name, &specs[i], posted, faults))
	}
	return out
}

func (a *Asked) control(name string, s *entry.Spec, posted url.Values, faults Faults) *Control {
	c := &Control{Name: name, Label: s.Label, Unit: s.Unit, Help: s.Help, Required: s.Required && !a.Round, Value: posted.Get(name)}
	c.fault(faults)
	switch s.Type {
	case entry.Number, entry.Whole:
		c.As = AsNumber
	case entry.Flag:
		yes, no := Option{Value: "yes", Label: words.Say("yes")}, Option{Value: "no", Label: words.Say("no")}
		c.As, c.Options = AsChoice, choices(c.Value, []Option{yes, no})
	case entry.Instant:
		c.moment(posted)
		c.MayBeNow = !ahead[s.Name]
	case entry.Birth:
		c.moment(posted)
		c.As = AsBirth
	case entry.Object:
		c.As, c.In = AsGroup, a.Controls(name, s.Of, posted, faults)
	case entry.PerInfant:
		c.As = AsGroup
		for _, one := range a.Choices["infants"] {
			c.In = append(c.In, &Control{Name: name + "." + one.Value, As: AsMany, Label: one.Label,
				Options: picked(ofWords(s.Words), posted[name+"."+one.Value])})
		}
	case entry.List:
		a.list(c, s, posted, faults)
	default:
		a.text(c, s)
	}
	if c.As == AsChoice { // a touch too many can be taken back
		c.Options = append([]Option{{Label: words.Say("not charted"), Checked: c.Value == ""}}, c.Options...)
	}
	return c
}

// text asks for a text or a word: of those that are allowed where they are known.
func (a *Asked) text(c *Control, s *entry.Spec) {
	c.As = AsLine
	if s.Lines || s.Longest > 200 {
		c.As = AsText
	}
	from := a.words(s)
	if len(from) == 0 {
		return
	}
	c.As = AsChoice
	if c.Value != "" && !slices.ContainsFunc(from, func(o Option) bool { return o.Value == c.Value }) {
		from = append(slices.Clip(from), Option{Value: c.Value, Label: c.Value})
	}
	c.Options = choices(c.Value, from)
}

// words are those that a field may hold, nil where any text may stand.
func (a *Asked) words(s *entry.Spec) []Option {
	switch {
	case s.List == "size":
		return a.sizes()
	case s.List == "bonnet":
		return a.bonnets()
	case s.List == "care":
		return ofWords(a.Policy.AllCares())
	case s.Type == entry.Word:
		return ofWords(s.Words)
	}
	return a.Choices[s.Name]
}

// sizes are those of all types, where each type has a list.
func (a *Asked) sizes() (out []Option) {
	for _, kind := range entry.InterfaceTypes {
		if kind == "off" {
			continue
		}
		if len(a.Policy.Sizes[kind]) == 0 {
			return nil
		}
		for _, size := range a.Policy.Sizes[kind] {
			if !slices.ContainsFunc(out, func(o Option) bool { return o.Value == size }) {
				out = append(out, Option{Value: size, Label: size})
			}
		}
	}
	return out
}

func (a *Asked) bonnets() (out []Option) {
	for _, b := range a.Policy.Bonnets {
		out = append(out, Option{Value: b.Name, Label: words.Say("%s, %s to %s cm", b.Name, b.FromCm.String(), b.ToCm.String())})
	}
	return out
}

func (a *Asked) list(c *Control, s *entry.Spec, posted url.Values, faults Faults) {
	switch {
	case s.Of == nil && s.Item == entry.Number:
		c.As, c.Help = AsLine, words.Say("numbers with a space between")
	case s.Of == nil && s.Item == entry.Key:
		c.As, c.Options = AsMany, picked(a.Choices[s.Name], posted[c.Name])
	case s.Of == nil:
		c.As, c.Options = AsMany, picked(ofWords(s.Words), posted[c.Name])
	case s.Unique != "":
		c.As = AsRows
		for i, own := range a.rowNames(s, posted[c.Name]) {
			row := &Control{Name: c.Name + "." + strconv.Itoa(i), As: AsGroup, RowName: own, Label: Say(own)}
			if row.In = a.inRow(row.Name, s.Of[1:], posted, faults); len(row.In) == 1 {
				row = row.In[0]
				row.RowName, row.Label = own, Say(own)
			}
			row.fault(faults)
			c.In = append(c.In, row)
		}
	default:
		c.As = AsRows
		for i := range a.rowCount(s, c.Name, posted) {
			row := &Control{Name: c.Name + "." + strconv.Itoa(i), As: AsGroup, Label: s.Label + " " + strconv.Itoa(i+1)}
			row.In = a.inRow(row.Name, s.Of, a.prefilled(s, row.Name, i, posted), faults)
			row.fault(faults)
			c.In = append(c.In, row)
		}
	}
}

// inRow are the controls of a row, which may be left empty.
func (a *Asked) inRow(name string, specs []entry.Spec, posted url.Values, faults Faults) []*Control {
	own := *a
	own.Round = true
	return own.Controls(name, specs, posted, faults)
}

// rowNames are the rows of a list whose rows have names: those posted first, as an entry
// that is corrected has them, then the others of the unit's list.
func (a *Asked) rowNames(s *entry.Spec, posted []string) []string {
	out := slices.Clone(posted)
	for _, name := range a.ownList(&s.Of[0]) {
		if !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	return out
}

// ownList are the unit's own words for a field, or the table's.
func (a *Asked) ownList(s *entry.Spec) []string {
	switch s.List {
	case "step":
		return a.Policy.Setup
	case "safety":
		return a.Policy.Checks
	}
	return s.Words
}

// blankRows stand at the end of a list, to be filled.
const blankRows = 2

// rowCount is how many rows are shown.
func (a *Asked) rowCount(s *entry.Spec, name string, posted url.Values) int {
	filled := url.Values{}
	for key, values := range posted {
		if slices.ContainsFunc(values, func(v string) bool { return v != "" }) {
			filled[key] = values
		}
	}
	n := rowsPosted(name, filled)
	if n == 0 && s.Name == "points" {
		n = len(a.Policy.SensorPoints)
	}
	blank := blankRows
	if s.Name == "points" { // the policy says how many
		blank = 0
	}
	n = max(n+blank, rowsPosted(name, posted))
	if posted.Get("more") == name {
		n += blankRows
	}
	return min(n, entry.MostItems)
}

// prefilled are the values of a row: of the oxygen sensor's points the gas is the policy's
// until somebody says otherwise.
func (a *Asked) prefilled(s *entry.Spec, row string, i int, posted url.Values) url.Values {
	gas := row + ".gasPercent"
	if s.Name != "points" || i >= len(a.Policy.SensorPoints) || posted.Has(gas) {
		return posted
	}
	out := url.Values{gas: {a.Policy.SensorPoints[i].String()}}
	for k, v := range posted {
		out[k] = v
	}
	return out
}

func (c *Control) moment(posted url.Values) {
	c.As, c.Day, c.Time, c.Which = AsMoment, posted.Get(c.Name+".day"), posted.Get(c.Name+".time"), posted.Get(c.Name+".which")
	c.Now = posted.Get(c.Name+".now") != ""
}

func (c *Control) fault(faults Faults) {
	if f := faults[c.Name]; f != nil {
		c.Fault, c.Asked = f.Text, f.Choose
	}
}

// Say is a word of the table as it is read.
func Say(word string) string { return strings.ReplaceAll(word, "-", " ") }

// ofWords are words of the table, or of the policy, to choose.
func ofWords(all []string) []Option {
	out := make([]Option, len(all))
	for i, w := range all {
		out[i] = Option{Value: w, Label: Say(w)}
	}
	return out
}

func choices(value string, from []Option) []Option { return picked(from, []string{value}) }

func picked(from []Option, values []string) []Option {
	out := slices.Clone(from)
	for i := range out {
		out[i].Checked = slices.Contains(values, out[i].Value)
	}
	return out
}
