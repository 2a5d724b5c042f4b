package page

import (
	"cotline/handover"
	"strconv"
)

// name is how an infant is called; a restricted one never is.
func name(restricted bool, family, given, temporary string) string {
	switch full := joined(", ", family, given); {
	case restricted:
		return "name not shown"
	case full != "":
		return said(full)
	case temporary != "":
		return said(temporary)
	}
	return "no name charted"
}

func nameOf(f *handover.Summary) string { return name(f.Restricted, f.Family, f.Given, f.Temporary) }

// number is the hospital's, for a list whose heading says so.
func number(f *handover.Summary) string {
	if f.MRN == "" {
		return "no number"
	}
	return said(f.MRN)
}

// numbered is the hospital's number where no heading says what it is.
func numbered(f *handover.Summary) string {
	if f.MRN == "" {
		return "no number"
	}
	return "no. " + said(f.MRN)
}

// called is an infant by cot, name and number.
func called(f *handover.Summary) string {
	cot := said(f.Cot) + ": " + nameOf(f)
	if f.MRN == "" {
		return cot + ", no number"
	}
	return cot + ", number " + said(f.MRN)
}

// other is another infant by cot, name and number.
func (v view) other(key string) string {
	f := v.others[key]
	switch {
	case f == nil && v.elsewhere:
		return "an infant who has left"
	case f == nil:
		return key
	case v.elsewhere:
		return "cot " + said(f.Cot)
	}
	return "cot " + called(f)
}

// identity is what tells this infant from any other, beside cot, name and number.
func (v view) identity(f *handover.Summary) []string {
	var out []string
	add := func(s string) {
		if s != "" {
			out = append(out, s)
		}
	}
	named := !f.Restricted && f.Family+f.Given != ""
	if named || f.Restricted {
		add(prefixed("label ", said(f.Temporary)))
	}
	if !f.Restricted {
		add(prefixed("formerly ", said(f.Formerly)))
	}
	add("record key " + f.Infant)
	add(prefixed("visit ", said(f.Visit)))
	return append(out, v.birth(f)...)
}

// birth is what an infant was born as, and how old it is.
func (v view) birth(f *handover.Summary) []string {
	var out []string
	add := func(s string) {
		if s != "" {
			out = append(out, s)
		}
	}
	if sex := f.Sex; sex == "other" || sex == "unknown" {
		add("sex " + sex)
	} else {
		add(sex)
	}
	switch {
	case f.BirthOrder != "" && f.Multiples != "":
		add(f.BirthOrder + " of " + f.Multiples + " in this birth")
	case f.Multiples != "":
		add(f.Multiples + " in this birth")
	case f.BirthOrder != "":
		add("number " + f.BirthOrder + " in this birth")
	}
	about := ""
	if f.Age.About {
		about = "about "
	}
	switch {
	case f.Age.Gestation == "":
		add("gestation not charted")
	default:
		add("born at " + f.Age.Gestation + " weeks")
		if f.Age.Postmenstrual != "" {
			add("postmenstrual age " + about + f.Age.Postmenstrual + " weeks")
		}
	}
	add("day of life " + strconv.Itoa(f.Age.DayOfLife) + " (day of birth is 0)")
	return out
}

// lookAlikes are those who could be mistaken for this infant, by name and number.
func (v view) lookAlikes(f *handover.Summary) row {
	r := row{Label: "Look-alike"}
	for _, l := range f.LookAlikes {
		r.apart("LOOK-ALIKE (" + l.Why + "): " + v.other(l.Infant))
	}
	return r
}

// conflicts are what two infants cannot share.
func (v view) conflicts(f *handover.Summary) row {
	r := row{Label: "Conflict"}
	for _, c := range f.Conflicts {
		what := c.What
		if what == "number" {
			what = "hospital number"
		}
		r.apart("CONFLICT: same " + what + " " + said(c.Value) + " charted for " + v.other(c.Infant))
	}
	return r
}

// mode is the state of support in a word or two.
func (v view) mode(f *handover.Summary) string {
	switch f.Support.State {
	case "on":
		return modeSaid(f.Support.Mode)
	case "off":
		return "off since " + v.when(f.Support.StoppedAt)
	}
	return "no support"
}

// Called is an infant by cot, name and number, for a terminal; with short, by initials.
func Called(c handover.Called, short bool) (cot, whom, mrn string) {
	if short {
		c.Family, c.Given = initials(c.Family), initials(c.Given)
	}
	if mrn = "no number"; c.MRN != "" {
		mrn = "number " + c.MRN
	}
	return "cot " + c.Cot, plainText(name(c.Restricted, c.Family, c.Given, c.Temporary)), mrn
}
