package handover

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

type reader = func(d *policyDecoder, p *Policy, v Value, path string)

// text is the value's text; anything else is told.
func (d *policyDecoder) text(v Value, path, wanted string) (string, bool) {
	if v.Type != TextValue || strings.TrimSpace(v.Text) == "" {
		d.add(v, path, CodeType, wanted)
		return "", false
	}
	if strings.ContainsFunc(v.Text, unicode.IsControl) {
		d.add(v, path, CodeText, "no control character, on one line")
		return "", false
	}
	return nfc(v.Text), true
}

// texts is a list of names, none twice.
func (d *policyDecoder) texts(v Value, path string) []string {
	if v.Type != ListValue {
		d.add(v, path, CodeType, "a list")
		return nil
	}
	out := []string{}
	for _, x := range v.List {
		s, ok := d.text(x, path, "a list of names")
		if ok && contains(out, s) {
			d.add(x, path, CodeRepeated, "each name once")
		}
		if ok {
			out = append(out, s)
		}
	}
	return out
}

func (d *policyDecoder) words(v Value, path string, allowed []string) []string {
	out := d.texts(v, path)
	for _, s := range out {
		if !contains(allowed, s) {
			d.add(v, path, CodeWord, "of "+strings.Join(allowed, ", ")+" (not "+short(s)+")")
		}
	}
	return out
}

func (d *policyDecoder) object(v Value, path string, names ...string) bool {
	if v.Type != ObjectValue {
		d.add(v, path, CodeType, "a map of "+strings.Join(names, ", "))
		return false
	}
	ok := true
	for _, f := range v.Fields {
		if !contains(names, f.Name) {
			d.add(Value{Line: f.Value.Line}, join(path, shownName(f.Name)), CodeUnknownField, "one of "+strings.Join(names, ", "))
			ok = false
		}
	}
	return ok
}

func (d *policyDecoder) decimal(v Value, path, low, high string) Decimal {
	n, ok := numberOf(v)
	if !ok || n.Cmp(mustDecimal(low)) < 0 || n.Cmp(mustDecimal(high)) > 0 {
		d.add(v, path, CodeRange, "a number from "+low+" to "+high)
	}
	return n
}

// within is a field of an object; one that is left out has the object's line.
func within(of Value, name string) Value {
	v := of.Field(name)
	if v.Type == Absent {
		v.Line = of.Line
	}
	return v
}

// optional is a text that may be left out.
func (d *policyDecoder) optional(of Value, path, name string) string {
	v := of.Field(name)
	if v.Type == Absent || v.Type == NullValue {
		return ""
	}
	s, _ := d.text(v, join(path, name), "text")
	return s
}

func readText(to func(*Policy) *string) reader {
	return func(d *policyDecoder, p *Policy, v Value, path string) {
		*to(p), _ = d.text(v, path, "text")
	}
}

func readZone(d *policyDecoder, p *Policy, v Value, path string) {
	name, ok := d.text(v, path, "an IANA time zone")
	if !ok {
		return
	}
	zone, err := d.zone(name)
	if err != nil || name == "Local" {
		d.add(v, path, CodeWord, "an IANA time zone such as Europe/Dublin")
		return
	}
	p.Zone = zone
}

var clockForm = regexp.MustCompile(`^([01][0-9]|2[0-3]):([0-5][0-9])$`)

func readShifts(d *policyDecoder, p *Policy, v Value, path string) {
	for _, x := range v.List {
		if x.Type != TextValue { // plain YAML may read 07:30 as something else
			d.add(x, path, CodeFormat, `local starts as "07:30", in quotes`)
			return
		}
	}
	for _, s := range d.texts(v, path) {
		m := clockForm.FindStringSubmatch(s)
		if m == nil {
			d.add(v, path, CodeFormat, `local starts as "07:30", in quotes`)
			return
		}
		h, _ := strconv.Atoi(m[1])
		min, _ := strconv.Atoi(m[2])
		p.Shifts = append(p.Shifts, Clock{h, min})
	}
	if len(p.Shifts) == 0 {
		d.add(v, path, CodeMissing, "at least one start")
	}
}

func readDuration(to func(*Policy) *duration) reader {
	return func(d *policyDecoder, p *Policy, v Value, path string) {
		got, err := parseDuration(v.Text)
		if v.Type != TextValue || err != nil {
			d.add(v, path, CodeFormat, "a duration as 90m, 4h, 1h30m or 7d")
			return
		}
		*to(p) = got
	}
}

func readEvery(to func(*Policy) *Every) reader {
	return func(d *policyDecoder, p *Policy, v Value, path string) { *to(p) = d.every(v, path) }
}

func (d *policyDecoder) every(v Value, path string) Every {
	e, err := ParseEvery(v.Text)
	if v.Type != TextValue || err != nil {
		d.add(v, path, CodeFormat, "a duration as 90m, 4h, 1h30m or 7d, or none")
	}
	return e
}

func readCares(d *policyDecoder, p *Policy, v Value, path string) {
	if v.Type != ObjectValue {
		d.add(v, path, CodeType, "a map of cares")
		return
	}
	for _, f := range v.Fields {
		p.Care[f.Name] = d.every(f.Value, join(path, f.Name))
	}
}

// readOwnCares are further cares: none that every unit has.
func readOwnCares(d *policyDecoder, p *Policy, v Value, path string) {
	p.Cares = d.texts(v, path)
	for _, x := range v.List {
		if contains(Cares, x.Text) {
			d.add(x, path, CodeRepeated, "further cares: "+x.Text+" is one of every unit")
		}
	}
}

func readRotationTypes(d *policyDecoder, p *Policy, v Value, path string) {
	if v.Type == TextValue && v.Text == "none" || v.Type == ListValue && len(v.List) == 0 {
		p.RotationDue, p.RotationOverdue = Every{}, Every{} // nothing alternates, unless a plan says so
		return
	}
	if got := d.words(v, path, []string{"mask", "prongs"}); len(got) != 2 {
		d.add(v, path, CodeWord, "mask and prongs, or none")
	}
}

func readDecimal(low, high string, to func(*Policy) *Decimal) reader {
	return func(d *policyDecoder, p *Policy, v Value, path string) { *to(p) = d.decimal(v, path, low, high) }
}

func readLengthBy(d *policyDecoder, p *Policy, v Value, path string) {
	s, _ := d.text(v, path, "freeman-2012, or none")
	if s != "freeman-2012" && s != "none" {
		d.add(v, path, CodeWord, "freeman-2012, or none")
	}
	p.LengthBy = s
}

func readPoints(d *policyDecoder, p *Policy, v Value, path string) {
	if v.Type != ListValue {
		d.add(v, path, CodeType, "a list of gas percentages")
		return
	}
	for _, x := range v.List {
		p.SensorPoints = append(p.SensorPoints, d.decimal(x, path, "0", "100"))
	}
}

func readIndices(d *policyDecoder, p *Policy, v Value, path string) {
	p.Indices = d.words(v, path, []string{"sf", "severity", "osi"})
}

func readNames(to func(*Policy) *[]string) reader {
	return func(d *policyDecoder, p *Policy, v Value, path string) { *to(p) = d.texts(v, path) }
}

func readAlarms(d *policyDecoder, p *Policy, v Value, path string) {
	kind, _ := KindOf("alarm")
	about, _ := kind.Spec("about")
	if !d.object(v, path, about.Words...) {
		return
	}
	for _, f := range v.Fields {
		p.Alarms[f.Name] = d.texts(f.Value, join(path, f.Name))
	}
}

func readSizes(of string) reader {
	return func(d *policyDecoder, p *Policy, v Value, path string) { p.Sizes[of] = d.texts(v, path) }
}

func readBonnets(d *policyDecoder, p *Policy, v Value, path string) {
	if v.Type != ListValue {
		d.add(v, path, CodeType, "a list of {name, fromCm, toCm}")
		return
	}
	for i, x := range v.List {
		here := fmt.Sprintf("%s[%d]", path, i)
		if !d.object(x, here, "name", "fromCm", "toCm") {
			continue
		}
		name, _ := d.text(within(x, "name"), here+".name", "text")
		b := BonnetSize{Name: name, FromCm: d.decimal(within(x, "fromCm"), here+".fromCm", "10", "60"), ToCm: d.decimal(within(x, "toCm"), here+".toCm", "10", "60")}
		if b.FromCm.Cmp(b.ToCm) >= 0 {
			d.add(within(x, "fromCm"), here+".fromCm", CodeOrder, "below toCm")
		}
		if _, twice := p.Bonnet(name); twice {
			d.add(within(x, "name"), here+".name", CodeRepeated, "each name once")
		}
		p.Bonnets = append(p.Bonnets, b)
	}
}

func readUnder(of string) reader {
	return func(d *policyDecoder, p *Policy, v Value, path string) { p.Under[of] = d.words(v, path, Sites) }
}

func readStaff(d *policyDecoder, p *Policy, v Value, path string) {
	if v.Type != ListValue {
		d.add(v, path, CodeType, "a list of {key, name, role}")
		return
	}
	for i, x := range v.List {
		here := fmt.Sprintf("%s[%d]", path, i)
		if !d.object(x, here, "key", "name", "role") {
			continue
		}
		key, _ := d.text(within(x, "key"), here+".key", "a staff key")
		if !keyForm.MatchString(key) {
			d.add(within(x, "key"), here+".key", CodeFormat, "1 to 64 of A-Z a-z 0-9 . _ -")
		}
		if slices.ContainsFunc(p.Staff, func(s Staff) bool { return s.Key == key }) {
			d.add(within(x, "key"), here+".key", CodeRepeated, "each key once")
		}
		p.Staff = append(p.Staff, Staff{key, d.optional(x, here, "name"), d.optional(x, here, "role")})
	}
}
