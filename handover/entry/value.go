package entry

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// Value is a piece of a document as it was offered, before any rule is applied:
// a JSON line, a spreadsheet cell or a policy file all become one. Numbers keep
// their text.
type Value struct {
	Type   ValueType
	Bool   bool    // BoolValue
	Text   string  // TextValue: the text; NumberValue: the digits as written
	List   []Value // ListValue
	Fields []Field // ObjectValue, in the order written
	Line   int     // 1-based, 0 where lines mean nothing
}

// NewText is a text as it was offered.
func NewText(text string) Value { return Value{Type: TextValue, Text: text} }

// NewNumber is a number by its digits as they were written; that they are one is for Decode
// to say.
func NewNumber(digits string) Value { return Value{Type: NumberValue, Text: digits} }

// NewFlag is true or false.
func NewFlag(b bool) Value { return Value{Type: BoolValue, Bool: b} }

// TextField is a named text.
func TextField(name, text string) Field { return Field{name, NewText(text)} }

// Field is a named value of an object.
type Field struct {
	Name  string
	Value Value
}

// ValueType is what a Value holds.
type ValueType int8

// The zero value is an absent field.
const (
	Absent ValueType = iota
	NullValue
	TextValue
	NumberValue
	BoolValue
	ListValue
	ObjectValue
)

func (t ValueType) String() string {
	return [...]string{"nothing", "null", "text", "a number", "true or false", "a list", "an object"}[t]
}

// Field is the named field of an object, Absent when it has none.
func (v Value) Field(name string) Value {
	return Lookup(v.Fields, name)
}

// Lookup is the named one of some fields, Absent when there is none.
func Lookup(fields []Field, name string) Value {
	if v := fieldOf(fields, name); v != nil {
		return *v
	}
	return Value{}
}

// fieldOf is the value of a named field, nil when there is none.
func fieldOf(fields []Field, name string) *Value {
	for i := range fields {
		if fields[i].Name == name {
			return &fields[i].Value
		}
	}
	return nil
}

// Shown is how a value that was offered reads in an error: short, on one line. Of
// texts it tells numbers with their units, moments, ids and the record's own words; any other may be a
// name that stands in the wrong field, and is told by its length.
func (v Value) Shown() string {
	switch v.Type {
	case TextValue:
		if tellable(v.Text) {
			return quoteShort(v.Text)
		}
		if n := utf8.RuneCountInString(v.Text); n != 1 {
			return fmt.Sprintf("text of %d characters", n)
		}
		return "text of 1 character"
	case NumberValue:
		return Short(v.Text)
	case BoolValue:
		if v.Bool {
			return "true"
		}
		return "false"
	}
	return v.Type.String()
}

// Quoted is how a value of a file of settings reads in an error, such as a policy's:
// short, on one line.
func (v Value) Quoted() string {
	if v.Type == TextValue {
		return quoteShort(v.Text)
	}
	return v.Shown()
}

// tellable says whether a text can be no name: a number with its
// unit, a moment, an id, or a word of the table of kinds.
func tellable(s string) bool {
	const between = "0123456789+-.,:/ TZeE"
	rest, digits := strings.TrimLeft(s, between), strings.TrimLeft(s, "+-.")
	if s == "" || digits != "" && IsDigit(digits[0]) && (rest == "" || isUnit(rest)) {
		return true
	}
	return isUUID(s) || slices.Contains([]string{"none", "policy", "true", "false"}, s) || ownWord(Common, s) || inKinds(s)
}

func isUnit(s string) bool {
	for i := range Kinds {
		for j := range Kinds[i].Fields {
			if Kinds[i].Fields[j].Unit == s {
				return true
			}
		}
	}
	return false
}

func inKinds(s string) bool {
	for i := range Kinds {
		if k := &Kinds[i]; k.Name == s || ownWord(k.Fields, s) {
			return true
		}
	}
	return false
}

func ownWord(specs []Spec, s string) bool {
	for i := range specs {
		if f := &specs[i]; f.Name == s || slices.Contains(f.Words, s) || ownWord(f.Of, s) {
			return true
		}
	}
	return false
}
