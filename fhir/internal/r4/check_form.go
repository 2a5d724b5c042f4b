package r4

import (
	"regexp"
	"strings"
	"time"
)

// format is what a string must look like, where the models do not say it.
type format byte

const (
	aString format = iota
	anID
	anInstant
	aMoment // dateTime
	aDay    // date
)

// formats are the formats of elements by name.
var formats = map[string]format{
	"id": anID,

	"issued": anInstant, "timestamp": anInstant, "lastUpdated": anInstant, "recorded": anInstant, "valueInstant": anInstant,
	"effectiveInstant": anInstant,

	"effectiveDateTime": aMoment, "start": aMoment, "end": aMoment, "recordedOn": aMoment, "time": aMoment, "timingDateTime": aMoment,
	"valueDateTime": aMoment, "deceasedDateTime": aMoment, "authoredOn": aMoment, "lastModified": aMoment, "date": aMoment,
	"manufactureDate": aMoment, "expirationDate": aMoment,

	"birthDate": aDay, "created": aDay, "valueDate": aDay,
}

func (c *Checker) string(n *Part, holds format) {
	s := n.Value
	if !n.plain || s == "" || s[0] == ' ' {
		if err := Sound(s); err != nil {
			c.add(n, "", ruleString, "%s", err.Error())
			return
		}
	}
	switch holds {
	case aString:
		return
	case anID:
		if c.within&aProfile == 0 && (!isID(s) || !lettered(s)) {
			c.add(n, "", ruleID, "1 to 64 of A-Za-z0-9-. are wanted, a letter among them")
		}
		return
	case anInstant:
		if !isTime(s) {
			c.add(n, "", ruleDate, "a time with seconds and offset is wanted")
			return
		}
	case aMoment:
		if !isTime(s) && !dayForm.MatchString(s) {
			c.add(n, "", ruleDate, "a day, or a time with seconds and offset, is wanted")
			return
		}
	case aDay:
		if !dayForm.MatchString(s) {
			c.add(n, "", ruleDate, "a day is wanted")
			return
		}
	}
	if !onCalendar(s) {
		c.add(n, "", ruleDate, "no such day")
	}
}

// dayForm is a date of FHIR R4.
var dayForm = regexp.MustCompile(`^[0-9]{4}(-(0[1-9]|1[0-2])(-(0[1-9]|[12][0-9]|3[01]))?)?$`)

// isTime is a dateTime or instant of FHIR R4 with a time of day: seconds and offset are
// then compulsory. It is written out because a regular expression takes twenty times as
// long, and all that leaves has several; a test holds it to one.
func isTime(s string) bool {
	const form = "0000-00-00T00:00:00"
	if len(s) <= len(form) || !like(s[:len(form)], form) ||
		s[5:7] < "01" || s[5:7] > "12" || s[8:10] < "01" || s[8:10] > "31" || s[11:13] > "23" || s[14:16] > "59" || s[17:19] > "59" {
		return false
	}
	offset := s[len(form):]
	if offset[0] == '.' {
		after := strings.TrimLeft(offset[1:], "0123456789")
		if len(after) == len(offset)-1 {
			return false
		}
		offset = after
	}
	if offset == "Z" {
		return true
	}
	return (like(offset, "+00:00") || like(offset, "-00:00")) && (offset[1:3] <= "13" && offset[4:6] <= "59" || offset[1:] == "14:00")
}

// like says whether s has the form of another text, in which 0 stands for any digit.
func like(s, form string) bool {
	if len(s) != len(form) {
		return false
	}
	for i := range len(form) {
		if c := s[i]; c != form[i] && (form[i] != '0' || c < '0' || c > '9') {
			return false
		}
	}
	return true
}

// onCalendar says whether a day exists. A program's zero time is none.
func onCalendar(s string) bool {
	if len(s) < len("2006-01-02") {
		return s > "0001"
	}
	if s[8:10] > "28" {
		if _, err := time.Parse("2006-01-02", s[:10]); err != nil {
			return false
		}
	}
	return s[:4] > "0001"
}

// The bytes of an id of FHIR R4, and of a UUID in lower case.
const (
	ofID = 1 << iota
	ofUUID
)

var bytesOf = func() (is [256]byte) {
	for _, c := range []byte("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-.") {
		is[c] = ofID
	}
	for _, c := range []byte("0123456789abcdef") {
		is[c] |= ofUUID
	}
	return is
}()

// isID is the id of FHIR R4: 1 to 64 of A-Z, a-z, 0-9, - and the full stop.
func isID(s string) bool {
	is := byte(ofID)
	for i := range len(s) {
		is &= bytesOf[s[i]]
	}
	return is != 0 && s != "" && len(s) <= 64
}

// lettered says whether there is anything but digits.
func lettered(s string) bool {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return true
		}
	}
	return false
}

// isFullURL is urn:uuid: and a UUID of RFC 9562, in lower case as FHIR R4 has it.
func isFullURL(s string) bool {
	s, ok := strings.CutPrefix(s, "urn:uuid:")
	if !ok || len(s) != 36 || s[8] != '-' || s[13] != '-' || s[18] != '-' || s[23] != '-' ||
		s[14] < '1' || s[14] > '8' || strings.IndexByte("89ab", s[19]) < 0 {
		return false
	}
	is := byte(ofUUID)
	for _, part := range [...]string{s[:8], s[9:13], s[14:18], s[19:23], s[24:]} {
		for i := range len(part) {
			is &= bytesOf[part[i]]
		}
	}
	return is != 0
}
