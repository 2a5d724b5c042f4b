package handover

import (
	"slices"
	"strconv"

	"cotline/handover/entry"
)

func readText(to func(*Policy) *string) reader {
	return func(d *policyDecoder, p *Policy, v entry.Value, path string) {
		*to(p), _ = d.text(v, path, "text")
	}
}

func readZone(d *policyDecoder, p *Policy, v entry.Value, path string) {
	name, ok := d.text(v, path, "an IANA time zone")
	if !ok {
		return
	}
	zone, err := d.zone(name)
	if err != nil || name == "Local" {
		d.add(v, path, entry.CodeWord, "an IANA time zone such as Europe/Dublin")
		return
	}
	p.Zone = zone
}

func readShifts(d *policyDecoder, p *Policy, v entry.Value, path string) {
	for _, x := range v.List {
		if x.Type != entry.TextValue { // plain YAML may read 07:30 as something else
			d.add(x, path, entry.CodeFormat, `local starts as "07:30", in quotes`)
			return
		}
	}
	for _, s := range d.texts(v, path) {
		if !entry.IsClock(s) {
			d.add(v, path, entry.CodeFormat, `local starts as "07:30", in quotes`)
			return
		}
		h, _ := strconv.Atoi(s[:2])
		min, _ := strconv.Atoi(s[3:])
		p.Shifts = append(p.Shifts, Clock{h, min})
	}
	if len(p.Shifts) == 0 {
		d.add(v, path, entry.CodeMissing, "at least one start")
	}
}

func readDuration(to func(*Policy) *duration) reader {
	return func(d *policyDecoder, p *Policy, v entry.Value, path string) {
		got, err := entry.ParseDuration(v.Text)
		if v.Type != entry.TextValue || err != nil {
			d.add(v, path, entry.CodeFormat, "a duration as 90m, 4h, 1h30m or 7d")
			return
		}
		*to(p) = got
	}
}

func readEvery(to func(*Policy) *entry.Every) reader {
	return func(d *policyDecoder, p *Policy, v entry.Value, path string) { *to(p) = d.every(v, path) }
}

func (d *policyDecoder) every(v entry.Value, path string) entry.Every {
	e, err := entry.ParseEvery(v.Text)
	if v.Type != entry.TextValue || err != nil {
		d.add(v, path, entry.CodeFormat, "a duration as 90m, 4h, 1h30m or 7d, or none")
	}
	return e
}

func readCares(d *policyDecoder, p *Policy, v entry.Value, path string) {
	if v.Type != entry.ObjectValue {
		d.add(v, path, entry.CodeType, "a map of cares")
		return
	}
	for _, f := range v.Fields {
		p.Care[f.Name] = d.every(f.Value, entry.JoinPath(path, f.Name))
	}
}

// readOwnCares are further cares: none that every unit has.
func readOwnCares(d *policyDecoder, p *Policy, v entry.Value, path string) {
	p.Cares = d.texts(v, path)
	for _, x := range v.List {
		if slices.Contains(entry.Cares, x.Text) {
			d.add(x, path, entry.CodeRepeated, "further cares: "+x.Text+" is one of every unit")
		}
	}
}

func readRotationTypes(d *policyDecoder, p *Policy, v entry.Value, path string) {
	if v.Type == entry.TextValue && v.Text == "none" || v.Type == entry.ListValue && len(v.List) == 0 {
		p.RotationDue, p.RotationOverdue = entry.Every{}, entry.Every{} // nothing alternates, unless a plan says so
		return
	}
	if got := d.words(v, path, []string{"mask", "prongs"}); len(got) != 2 {
		d.add(v, path, entry.CodeWord, "mask and prongs, or none")
	}
}

// readDecimal reads a number from 0 to an upper end.
func readDecimal(high string, to func(*Policy) *entry.Decimal) reader {
	return func(d *policyDecoder, p *Policy, v entry.Value, path string) { *to(p) = d.decimal(v, path, "0", high) }
}

func readLengthBy(d *policyDecoder, p *Policy, v entry.Value, path string) {
	s, _ := d.text(v, path, "freeman-2012, or none")
	if s != "freeman-2012" && s != "none" {
		d.add(v, path, entry.CodeWord, "freeman-2012, or none")
	}
	p.LengthBy = s
}

func readPoints(d *policyDecoder, p *Policy, v entry.Value, path string) {
	if v.Type != entry.ListValue {
		d.add(v, path, entry.CodeType, "a list of gas percentages")
		return
	}
	for _, x := range v.List {
		p.SensorPoints = append(p.SensorPoints, d.decimal(x, path, "0", "100"))
	}
}

func readIndices(d *policyDecoder, p *Policy, v entry.Value, path string) {
	p.Indices = d.words(v, path, []string{"sf", "severity", "osi"})
}

func readNames(to func(*Policy) *[]string) reader {
	return func(d *policyDecoder, p *Policy, v entry.Value, path string) { *to(p) = d.texts(v, path) }
}

func readAlarms(d *policyDecoder, p *Policy, v entry.Value, path string) {
	kind, _ := entry.KindOf("alarm")
	about, _ := kind.Spec("about")
	if !d.object(v, path, about.Words...) {
		return
	}
	for _, f := range v.Fields {
		p.Alarms[f.Name] = d.texts(f.Value, entry.JoinPath(path, f.Name))
	}
}

func readSizes(of string) reader {
	return func(d *policyDecoder, p *Policy, v entry.Value, path string) { p.Sizes[of] = d.texts(v, path) }
}

func readBonnets(d *policyDecoder, p *Policy, v entry.Value, path string) {
	for here, x := range d.objects(v, path, "a list of {name, fromCm, toCm}", "name", "fromCm", "toCm") {
		name, _ := d.text(within(x, "name"), here+".name", "text")
		b := BonnetSize{Name: name, FromCm: d.decimal(within(x, "fromCm"), here+".fromCm", "10", "60"),
			ToCm: d.decimal(within(x, "toCm"), here+".toCm", "10", "60")}
		if b.FromCm.Cmp(b.ToCm) >= 0 {
			d.add(within(x, "fromCm"), here+".fromCm", entry.CodeOrder, "below toCm")
		}
		if _, twice := p.Bonnet(name); twice {
			d.add(within(x, "name"), here+".name", entry.CodeRepeated, "each name once")
		}
		p.Bonnets = append(p.Bonnets, b)
	}
}

func readUnder(of string) reader {
	return func(d *policyDecoder, p *Policy, v entry.Value, path string) {
		p.Under[of] = d.words(v, path, entry.Sites)
	}
}

func readStaff(d *policyDecoder, p *Policy, v entry.Value, path string) {
	for here, x := range d.objects(v, path, "a list of {key, name, role}", "key", "name", "role") {
		key, _ := d.text(within(x, "key"), here+".key", "a staff key")
		if !entry.IsKey(key) {
			d.add(within(x, "key"), here+".key", entry.CodeFormat, "1 to 64 of A-Z a-z 0-9 . _ -")
		}
		if slices.ContainsFunc(p.Staff, func(s Staff) bool { return s.Key == key }) {
			d.add(within(x, "key"), here+".key", entry.CodeRepeated, "each key once")
		}
		p.Staff = append(p.Staff, Staff{key, d.optional(x, here, "name"), d.optional(x, here, "role")})
	}
}
