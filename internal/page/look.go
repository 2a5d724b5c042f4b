package page

import (
	"strings"

	"cotline/handover"
)

// eyes stands before what needs a person now, and before nothing else on any face.
const eyes = "!! "

// look is what must be seen first of an infant, by the engine's attention: now, and
// then what to know.
type look struct{ Now, Know []string }

// Nothing says that there is nothing to look at first.
func (l look) Nothing() bool { return len(l.Now)+len(l.Know) == 0 }

// NowSaid is what needs a person now, after the mark.
func (l look) NowSaid() string {
	if len(l.Now) == 0 {
		return ""
	}
	return eyes + strings.Join(l.Now, "; ")
}

// KnowSaid is what is to be known.
func (l look) KnowSaid() string { return strings.Join(l.Know, "; ") }

// lookAt sorts an infant's attention by its level. It is the one place that decides
// what stands after the mark.
func (v view) lookAt(f *handover.Summary) look {
	var l look
	l.Now, l.Know = v.attention(f)
	return l
}
