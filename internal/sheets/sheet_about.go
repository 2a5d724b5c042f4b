package sheets

import (
	"slices"
	"strconv"
	"strings"

	"cotline/handover"
	"cotline/handover/entry"
)

// about is a line of the sheet that says what the workbook is.
type about struct {
	what, detail string
	value        cell
}

const longCaution = "An aid to handover: not a device, a monitor or an order. It computes and shows what was charted and recommends " +
	"no setting. Local policy, the prescriber and the manufacturer's instructions win. Look at the infant."

// aboutSheet says where the figures come from and what its words mean.
func aboutSheet(h *handover.Handover, p *handover.Policy, version string, listed, held int, tallies []tally) sheet {
	c := clock{h.Zone}
	var rows []about
	for _, f := range h.Findings {
		rows = append(rows, about{"WARNING: the record is damaged", "hold everything against paper", text(f, none)})
	}
	chain := "none: the record is a plain file"
	if len(rows) > 0 {
		chain = "not told: the record is damaged"
	}
	rows = append(rows, []about{
		{"Unit", "", text(h.Unit, notCharted)},
		{"Moment of this handover", h.Zone.String() + ", offset " + c.offset(h.At), c.moment(h.At, none)},
		{"Written down by", h.Zone.String() + ", offset " + c.offset(h.Known), c.moment(h.Known, none)},
		{"Time zone", "of every time in this workbook; the offset from UTC stands beside it or in the header",
			text(h.Zone.String(), none)},
		{"Policy", "SHA-256 of the policy in force", text(h.Policy, none)},
		{"Head of the record's chain", "of a stored record; its first 12 digits are on the signed handover",
			text(h.Chain, chain)},
		{"Position in the record", "of a stored record", position(h)},
		{"Program", "", word("cotline " + version)},
		{"Entries listed", "of " + strconv.Itoa(held) + " in the record; the others happen after the moment, or were not written down " +
			"by then", count(listed)},
		{"Confidential", "identifies infants", word("Keep, share and destroy it by your unit's rules for records.")},
		{"Caution", "", word(longCaution)},
	}...)
	for _, t := range tallies {
		rows = append(rows, about{"Sheet " + t.sheet, t.where(), count(t.rows)})
		if len(t.leftOut) > 0 {
			rows = append(
				rows,
				about{"Left out of " + t.sheet, "columns in which no row has a value", word(strings.Join(t.leftOut, "; "))},
			)
		}
	}
	for _, w := range words {
		rows = append(rows, about{w[0], "word", word(w[1])})
	}
	for _, l := range p.Lines() {
		rows = append(rows, about{"Policy: " + l.Path, strings.TrimSuffix(string(l.Origin)+": "+l.Why, ": "), text(l.Value, "not set")})
	}
	s := table(aboutName, "", slices.Values(rows), func(a about) string { return a.what },
		column[about]{"What", 30, func(a about) cell { return word(a.what) }},
		column[about]{"Value", 70, func(a about) cell { return a.value }},
		column[about]{"Detail", 50, func(a about) cell { return text(a.detail, none) }},
	)
	s.keep = 1
	return s
}

func position(h *handover.Handover) cell {
	if h.Position == 0 {
		return word("none: the record is a plain file")
	}
	return number(entry.Int(h.Position))
}

// words are those that a reader may not know.
var words = [][2]string{
	{notCharted, "It applies to this infant and nobody charted it. It is not normal, not zero and not none."},
	{doesNotApply, "It has no meaning for this infant now, by the mode of support or by what was charted."},
	{"left out", "A figure that cannot be computed, with the reason."},
	{none, "There is nothing in this list."},
	{computed, "A fact without an entry of its own: computed, or said by several entries."},
	{wholeUnit, "It is about no single infant."},
	{"not on the ward", "The infant is neither admitted at this moment nor left since the last handover."},
	{notShown, "The name of this infant is restricted. Names in free text cannot be found by this program."},
	{"due, overdue, deferred", "By the unit's intervals or the infant's plan; deferred by a nurse, with a reason, until a moment."},
	{"off", "Of a rotation: neither mask nor prongs is on. Of support: stopped."},
	{stands.String(), "The entry counts as it was charted."},
	{corrected.String(), "Another entry says how it should have been; the correction counts."},
	{retracted.String(), "The entry counts for nothing and stays readable."},
	{holds.String(), "Of a correction or retraction: it is in force."},
	{replaced.String(), "Of a correction: a later one counts."},
	{"sibling, number, name", "Why two infants look alike: same birth, hospital numbers one slip apart, family names alike."},
	{"A row that looks cut off", "A row is at most 409 points high; the cell holds the whole text. Make the column wider to see it."},
	{noPart, "The row has no such part."},
	{unchanged, "Of a setting: this entry left it as it was."},
	{notSetYet, "Of a setting: neither this entry nor one before it in the stay has it."},
	{notSeen, "Of a skin site: this check did not look at it."},
	{"What is printed", "Ward, Handover, Due and Charts. To print another sheet, clear its print area."},
	{"Underlined cells", "A click leads to the infant's rows and back, or from a figure to the entry it came from; up to " +
		"5,000 a sheet."},
	{"Marks ▲ △ ≠ ○ !!", "Overdue, unstable or moved; watcher; a conflict; not charted; it needs somebody now."},
	{"Sheet Charts", "The last 7 days, heads of the whole record on the standard's 3rd, 10th, 50th, 90th and 97th centiles. A set value " +
		"is drawn as the step it was. On wards of up to 32 infants."},
	{"Texts that look like formulas", "They are texts. Saved as CSV by a spreadsheet program they would be armed again."},
}
