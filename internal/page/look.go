package page

import (
	"slices"
	"strings"

	"cotline/handover"
)

// eyes stands before what needs a person now, and before nothing else on any face.
const eyes = "!! "

// look is what must be seen first of an infant, by the engine's attention: now, and
// then what to know.
type look struct{ Now, Know []string }

// lookAt sorts an infant's attention by its level. It is the one place that decides
// what stands after the mark.
func lookAt(f *handover.Summary) look {
	var l look
	for _, a := range f.Attention {
		if a.Level == handover.Now {
			l.Now = append(l.Now, said(a.Text))
		} else {
			l.Know = append(l.Know, said(a.Text))
		}
	}
	return l
}

// inLines are things to be known that the lines of the short form tell themselves.
var inLines = []string{"spo2", "skin", "outlook", "overdue", "bonnet", "missing", "old", "handing-over"}

// aboveLines is what stands above an infant's lines in the short form: all that needs
// a person now, and what is to be known that no line tells. The ward list has all.
func aboveLines(f *handover.Summary) look {
	l := lookAt(f)
	l.Know = nil
	for _, a := range f.Attention {
		if a.Level != handover.Now && !slices.Contains(inLines, a.What) {
			l.Know = append(l.Know, said(a.Text))
		}
	}
	return l
}

// withoutMarked is an infant of whom there is much to tell, without what stands above
// after a mark already and without what was in order: a sensor or a
// safety check that passed, help that an episode needed then; and without the limits of
// alarms, the airway's temperature and the abdomen.
func withoutMarked(f *handover.Summary) *handover.Summary {
	out := *f
	var marked string
	for _, a := range f.Attention {
		if a.Level == handover.Now && a.What == "overdue" {
			marked = strings.TrimPrefix(a.Text, "OVERDUE ") + ", "
		}
	}
	out.Due = slices.DeleteFunc(slices.Clone(f.Due), func(d handover.Due) bool {
		name := plain(d.What)
		if d.What == "care" {
			name = plain(d.Care)
		}
		water := d.What == "water" && above(f, "warmth", "")
		return d.State == "overdue" && (water || strings.Contains(", "+marked, ", "+name+", "))
	})
	if above(f, "outlook", "") && f.Outlook.Value != nil && len(f.Outlook.Value.IfThen) == 0 && f.Outlook.Value.CallFor == "" &&
		!isOld(f, "outlook") {
		out.Outlook = handover.Maybe[handover.Outlook]{}
	}
	out.Limits = nil
	out.Observations = slices.DeleteFunc(slices.Clone(f.Observations), func(o handover.Observed) bool {
		return o.Field == "airwayC" || o.Field == "abdomenCm"
	})
	if x := f.Safety; x != nil && !slices.ContainsFunc(x.Items, func(i handover.SafetyItem) bool { return !i.OK }) {
		out.Safety = nil
	}
	if h := f.Episodes.Helped; h != nil && !h.At.After(f.Since) {
		out.Episodes.Helped = nil
	}
	if x := f.Setup.Value; x != nil && x.Calibrated.Value != nil && *x.Calibrated.Value {
		set := *x
		set.Calibrated = handover.Maybe[bool]{}
		out.Setup.Value = &set
	}
	return &out
}

// Nothing says that there is nothing to look at first.
func (l look) Nothing() bool { return len(l.Now)+len(l.Know) == 0 }

// NowSaid is what needs a person now, each thing after the mark.
func (l look) NowSaid() string {
	if len(l.Now) == 0 {
		return ""
	}
	const mark = "!!\u00a0" // eyes, on one line with what it marks
	return mark + strings.Join(l.Now, "; "+mark)
}

// KnowSaid is what is to be known.
func (l look) KnowSaid() string { return strings.Join(l.Know, "; ") }

// above says whether what stands above the lines tells of a fact: of any of that
// kind, or of one path.
func above(f *handover.Summary, what, path string) bool {
	return slices.ContainsFunc(f.Attention, func(a handover.Attention) bool {
		return a.What == what && (path == "" || a.Path == path) && (a.Level == handover.Now || !slices.Contains(inLines, what))
	})
}
