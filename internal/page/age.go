package page

import (
	"time"

	"cotline/handover"
)

// isOld says whether the engine calls a fact older than its own interval.
func isOld(f *handover.Summary, path string) bool {
	for _, x := range f.Old {
		if x.Path == path {
			return true
		}
	}
	return false
}

// howOld is the age of a fact that is old, on a screen and on paper: nothing of one
// that is not.
func (v view) howOld(f *handover.Summary, path string, at time.Time) string {
	if !isOld(f, path) {
		return ""
	}
	return v.ago(at) + " old"
}

// ago is how long ago something was: the minutes of what is hours old do not matter.
func (v view) ago(at time.Time) string {
	d := v.at.Sub(at)
	if d >= time.Hour {
		d = d.Truncate(time.Hour)
	}
	return elapsed(d)
}

// aged is a moment, and the age of what is old.
func (v view) aged(f *handover.Summary, path string, at time.Time) string {
	return joined(", ", v.when(at), v.howOld(f, path, at))
}

// seenOf is seen of a fact that may be old: its age stands on paper too.
func (v view) seenOf(f *handover.Summary, path string, s handover.Source) string {
	if old := v.howOld(f, path, s.At); old != "" {
		return v.when(s.At) + ", " + old + v.changedHands(s)
	}
	return v.seen(s)
}
