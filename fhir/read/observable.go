package read

import (
	"regexp"
	"slices"
	"strings"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"
)

// observable is what is read, by code, and where it is charted.
type observable struct {
	codes       []r4.Standard
	kind, field string
	unit        r4.Unit
	site        *r4.Concept // where the code alone does not say it: the site that is asked for
}

// observables are what is read. A body temperature may be taken anywhere, so it is read
// only where its code says axillary, or where its site is coded as the axilla.
var observables = []observable{
	{r4.HeartRate.Standard, "observations", "heartRateBpm", r4.PerMinute, nil},
	{r4.RespRate.Standard, "observations", "respRateBpm", r4.PerMinute, nil},
	{r4.SpO2.Standard, "observations", "spo2Percent", r4.Percent, nil},
	{r4.Temperature.Standard[1:], "observations", "axillaryC", r4.Celsius, nil},
	{r4.Temperature.Standard[:1], "observations", "axillaryC", r4.Celsius, &r4.SiteAxilla},
	{r4.Head.Standard, "head", "circumferenceCm", r4.Centimetres, nil},
	{r4.Weight.Standard, "weight", "weightG", r4.Grams, nil},
}

// observableOf is what an Observation is of, or why it is not read: codes of two
// things contradict one another.
func (d *reader) observableOf(o *offered) (is *observable, why string) {
	why = "no code of those that are read"
	for _, c := range codings(o.At("code")) {
		for i := range observables {
			x := &observables[i]
			if !slices.ContainsFunc(x.codes, func(s r4.Standard) bool { return c == s.System+"|"+s.Code }) {
				continue
			}
			switch {
			case x.site != nil && !d.at(o.At("bodySite"), *x.site) && o.Text("status") != r4.InError: // what is withdrawn may be blank
				why = "a temperature that is not coded as axillary"
			case is != nil && is.field != x.field:
				return nil, "codes of two things that are read"
			default:
				is = x
			}
		}
	}
	if is == nil {
		return nil, why
	}
	return is, ""
}

// at says whether something is coded as a concept, such as a body site: by our own code
// of it, or by a coding that the site adds to that.
func (d *reader) at(n *r4.Part, site r4.Concept) bool {
	said := codings(n)
	for _, c := range d.Site[site.Code] {
		if slices.Contains(said, r4.StringOf(c.System)+"|"+r4.StringOf(c.Code)) {
			return true
		}
	}
	return slices.Contains(said, d.Policy.FHIR.Base+r4.OwnSystemPath+"|"+site.Code)
}

// annotation is what UCUM (section 6, curly braces) lets stand for the unity that is
// counted: {beats}/min is /min.
var annotation = regexp.MustCompile(`^\{[^{}]*\}`)

// quantity is the value as it is charted. Nothing is rounded. Of other units kilograms
// alone are converted, by moving the point.
func (d *reader) quantity(o *offered, is *observable) (string, bool) {
	q := o.At("valueQuantity")
	value, code := q.At("value"), q.Text("code")
	if is.unit == r4.PerMinute {
		code = annotation.ReplaceAllString(code, "")
	}
	refuse := func(path, found, allowed string) (string, bool) {
		if found != "" {
			found = shown(found)
		}
		d.issue(o.ordinal, "valueQuantity"+path, entry.CodeResource, found, allowed)
		return "", false
	}
	switch {
	case value == nil || value.Kind != r4.Numeral:
		return refuse(".value", "", "a number")
	case strings.HasPrefix(value.Value, "-") && strings.Trim(value.Value, "-0.") == "":
		return refuse(".value", value.Value, "zero has no minus")
	case q.At("comparator") != nil:
		d.aside(o, "a bound, not a value")
		return "", false
	case q.Text("system") != r4.UCUMSystem:
		return refuse(".system", q.Text("system"), r4.UCUMSystem)
	case code == "":
		return refuse(".code", "", is.unit.UCUM)
	case code == is.unit.UCUM:
		return value.Value, true
	case code == kilograms && is.unit == r4.Grams && r4.IsDecimal(value.Value):
		return thousandfold(value.Value), true
	case code == kilograms && is.unit == r4.Grams:
		return refuse(".value", value.Value, "a decimal without an exponent")
	}
	d.aside(o, "in another unit than "+is.unit.UCUM+": nothing is converted but kg")
	return "", false
}
