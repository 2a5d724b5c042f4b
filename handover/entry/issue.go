package entry

import (
	"fmt"
	"strconv"
	"strings"
)

// Code is the stable word of a refusal; programs may rely on it.
type Code string

// The refusal codes.
const (
	CodeJSON            Code = "json"             // not one JSON object, or nested too deep
	CodeUTF8            Code = "utf8"             // not valid UTF-8
	CodeLineTooLong     Code = "line-too-long"    // over 1 MiB
	CodeDuplicateField  Code = "duplicate-field"  // a name twice in one object
	CodeUnknownField    Code = "unknown-field"    // not a field of this kind
	CodeUnknownKind     Code = "unknown-kind"     // not a kind
	CodeMissing         Code = "missing"          // a required field left out
	CodeType            Code = "type"             // text where a number is due, and so on
	CodeWord            Code = "word"             // not one of the allowed words
	CodeRange           Code = "range"            // outside the field's range
	CodeNumber          Code = "number"           // exponent, or too many digits
	CodeFormat          Code = "format"           // not a UUID, key, moment, date, duration, gestation
	CodeText            Code = "text"             // empty, too long, or with control characters
	CodeRepeated        Code = "repeated"         // a site or item listed twice
	CodeOrder           Code = "order"            // low not below high
	CodeSize            Code = "size"             // not in the unit's list of sizes
	CodeStep            Code = "step"             // not in the unit's list of steps
	CodeItem            Code = "item"             // not in the unit's list of safety items
	CodeClock           Code = "clock"            // charted before it happened, or in the future
	CodeIDConflict      Code = "id-conflict"      // the id is held with other content
	CodeInfantCase      Code = "infant-case"      // a key that differs from a known one only in case
	CodeAlreadyAdmitted Code = "already-admitted" // an admission while admitted
	CodeNotAdmitted     Code = "not-admitted"     // on an infant never admitted, between stays, or not at the moment signed
	CodeNotCompiled     Code = "not-compiled"     // signed for an infant who did not stand in the handover signed
	CodeNoHandover      Code = "no-handover"      // takes over by a handover that the record does not hold
	CodeNotHandedOver   Code = "not-handed-over"  // takes over an infant whom the handover does not name
	CodeResource        Code = "resource"         // not a FHIR R4 resource that can be read
	CodeAside           Code = "left-aside"       // a resource that is not read; refuses nothing
	CodeChanged         Code = "changed"          // a resource that was sent from here, and came back with other content
	CodeReference       Code = "reference"        // names an entry that is not there, or of the wrong kind
)

// Issue is one fault, where it is and what would be right. Found never holds a
// name: fields that may are marked private in the table of kinds.
type Issue struct {
	Line    int // 1-based, 0 when unknown
	Path    string
	Code    Code
	Found   string
	Allowed string
	Nobody  bool // by the entry's infant nobody ever was admitted: the key is what to look at
}

// String is the issue on one line, without the file's name.
func (i Issue) String() string {
	var b strings.Builder
	if i.Line > 0 {
		fmt.Fprintf(&b, "line %d: ", i.Line)
	}
	if i.Path != "" {
		fmt.Fprintf(&b, "%s: ", i.Path)
	}
	if i.Found != "" {
		fmt.Fprintf(&b, "found %s; ", i.Found)
	}
	fmt.Fprintf(&b, "%s [%s]", i.Allowed, i.Code)
	return b.String()
}

// Short cuts a found value to what fits a line.
func Short(s string) string {
	const most = 60
	r := []rune(s)
	if len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}

// quoteShort also makes control characters visible.
func quoteShort(s string) string {
	if len(s) > 400 {
		s = s[:400]
	}
	return Short(strconv.QuoteToGraphic(strings.ToValidUTF8(s, "\uFFFD")))
}

// ShownName is the name of a field that somebody else chose, fit for one line.
func ShownName(s string) string {
	if IsKey(s) {
		return s
	}
	return quoteShort(s)
}
