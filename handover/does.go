package handover

import (
	"slices"

	"cotline/handover/entry"
)

// doing says which entries do what falls due; of cares, Does looks at which.
var doing = map[string]func(*Policy, *entry.Standing) bool{
	"rotation": func(_ *Policy, e *entry.Standing) bool { return e.Kind == "interface" && e.Text("type") != "off" },
	"skin":     func(_ *Policy, e *entry.Standing) bool { return e.Kind == "skin" },
	"bonnet":   headOrBonnet,
	"head":     headOrBonnet,
	"observations": func(_ *Policy, e *entry.Standing) bool {
		return e.Kind == "observations" && slices.ContainsFunc(watched, e.Has)
	},
	"tube":    func(_ *Policy, e *entry.Standing) bool { return e.Kind == "tube" && !off(e) },
	"circuit": func(_ *Policy, e *entry.Standing) bool { return e.Kind == "circuit" && e.Text("action") == "fitted" },
	"oxygen-sensor": func(_ *Policy, e *entry.Standing) bool {
		return e.Kind == "calibration"
	},
	"water": func(_ *Policy, e *entry.Standing) bool { return e.Kind == "humidifier" && e.Text("water") == "changed" },
	"humidifier": func(_ *Policy, e *entry.Standing) bool {
		return e.Kind == "humidifier" && (e.Has("chamberC") || e.Has("water"))
	},
	"safety": func(p *Policy, e *entry.Standing) bool { return e.Kind == "safety" && p.wholeCheck(e) },
	"care":   func(_ *Policy, e *entry.Standing) bool { return e.Kind == "care" },
}

func headOrBonnet(_ *Policy, e *entry.Standing) bool {
	return e.Kind == "head" || e.Kind == "bonnet" && !off(e)
}

// off says whether a tube or a bonnet was taken off, or found to be none.
func off(e *entry.Standing) bool { return e.Text("action") == "removed" || e.Text("action") == "none" }

// Does says whether an entry does what falls due; care is the one that is due, or empty. No
// entry does a task by its kind.
func (p *Policy) Does(e *entry.Standing, what, care string) bool {
	does := doing[what]
	return does != nil && does(p, e) && (care == "" || e.Text("what") == care)
}

// does passes entries that do what falls due.
func (r *reading) does(what string) func(*entry.Standing) bool {
	return func(e *entry.Standing) bool { return r.p.Does(e, what, "") }
}

// wholeCheck says whether a safety check went through the unit's whole list.
func (p *Policy) wholeCheck(check *entry.Standing) bool {
	return !slices.ContainsFunc(p.Checks, func(item string) bool {
		return !slices.ContainsFunc(check.List("items"), func(x entry.Value) bool { return x.Field("item").Text == item })
	})
}
