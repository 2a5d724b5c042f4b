package read

import (
	"fmt"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// SiteCodesOf reads them: a map of own codes, each to a list of {system, code,
// display, version}, of which the last two may be left out. With issues, they are
// not to be used.
func SiteCodesOf(v entry.Value) (r4.SiteCodes, []entry.Issue) {
	d := siteCodes{out: r4.SiteCodes{}}
	if v.Type != entry.ObjectValue {
		d.add(v, "", entry.CodeType, "a map of codes of the unit's code system")
		return nil, d.issues
	}
	for _, f := range v.Fields {
		d.read(f)
	}
	return d.out, d.issues
}

type siteCodes struct {
	out    r4.SiteCodes
	issues []entry.Issue
}

func (d *siteCodes) add(v entry.Value, path string, code entry.Code, allowed string) {
	d.issues = append(d.issues, entry.Issue{Line: v.Line, Path: path, Code: code, Found: v.Quoted(), Allowed: allowed})
}

func (d *siteCodes) read(f entry.Field) {
	known, name := false, entry.ShownName(f.Name)
	for _, c := range r4.OwnConcepts {
		known = known || c.Code == f.Name
	}
	if !known {
		d.add(entry.Value{Line: f.Value.Line}, name, entry.CodeWord, "a code of the unit's code system; cotline codes prints them")
	}
	if f.Value.Type != entry.ListValue {
		d.add(f.Value, name, entry.CodeType, "a list of {system, code, display, version}")
		return
	}
	for n, x := range f.Value.List {
		path := fmt.Sprintf("%s[%d]", name, n)
		if x.Type != entry.ObjectValue {
			d.add(x, path, entry.CodeType, "{system, code, display, version}")
			continue
		}
		c := models.Coding{}
		for _, e := range x.Fields {
			into := map[string]**string{"system": &c.System, "code": &c.Code, "display": &c.Display, "version": &c.Version}[e.Name]
			switch {
			case into == nil:
				d.add(entry.Value{Line: e.Value.Line}, path+"."+entry.ShownName(e.Name), entry.CodeUnknownField,
					"one of system, code, display, version")
			case e.Value.Type != entry.TextValue || r4.Sound(e.Value.Text) != nil:
				d.add(e.Value, path+"."+e.Name, entry.CodeType, "text")
			default:
				*into = r4.Ptr(e.Value.Text)
			}
		}
		switch {
		case !r4.Absolute(r4.StringOf(c.System)):
			d.add(x.Field("system"), path+".system", entry.CodeFormat, "an absolute URI")
		case c.Code == nil:
			d.add(x.Field("code"), path+".code", entry.CodeMissing, "required")
		case *c.System == r4.LOINCSystem && !r4.LOINCSound(*c.Code):
			d.add(x.Field("code"), path+".code", entry.CodeFormat, "a LOINC code with its check digit")
		case r4.VitalUnits[*c.Code] != nil && *c.System == r4.LOINCSystem:
			d.add(x.Field("code"), path+".code", entry.CodeFormat, "no code of a vital sign: receivers would hold this to its profile")
		default:
			d.out[f.Name] = append(d.out[f.Name], c)
		}
	}
}

// SiteCodes are codings that a site adds after an own code, under its own licences.
type SiteCodes = r4.SiteCodes
