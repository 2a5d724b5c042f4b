package r4

import (
	"reflect"
	"testing"

	"cotline/handover"
)

// A concept that was said is the same one when it is said again, whatever was made of it in
// between; one that differs in anything that is written is another.
func TestConceptsAreSaidOnce(t *testing.T) {
	c := CodesOf(&handover.Policy{}, SiteCodes{AlarmCause.Code: {Standard{"https://site.example", "x", ""}.Coding()}})
	said := c.Concept(AlarmCause)
	was := CodesOf(&handover.Policy{}, c.Site).Concept(AlarmCause)
	c.Said(AlarmCause, "hose apart")
	c.Listed(AlarmCause, causeList, "hose apart")
	if again := c.Concept(AlarmCause); again != said || !reflect.DeepEqual(again, was) {
		t.Errorf("%+v was %+v", again, was)
	}
	for _, other := range []func(*Concept){
		func(c *Concept) { c.Code += "-x" },
		func(c *Concept) { c.Text += " x" },
		func(c *Concept) { c.Display += " x" },
		func(c *Concept) { c.Also = &Episode },
		func(c *Concept) { c.Standard = []Standard{Preductal} },
	} {
		of := AlarmCause
		other(&of)
		if one := c.Concept(of); reflect.DeepEqual(one, was) {
			t.Errorf("%+v is said as %+v", of, one)
		}
	}
}
