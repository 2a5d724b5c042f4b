package entry

// Value is a piece of a document as it was offered, before any rule is applied:
// a JSON line, a spreadsheet cell or a policy file all become one. Numbers keep
// their text.
type Value struct {
	Type   ValueType
	Text   string  // TextValue: the text; NumberValue: the digits as written
	Bool   bool    // BoolValue
	List   []Value // ListValue
	Fields []Field // ObjectValue, in the order written
	Line   int     // 1-based, 0 where lines mean nothing
}

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
	for i := range fields {
		if fields[i].Name == name {
			return fields[i].Value
		}
	}
	return Value{}
}

// Shown is how a value reads in an error: short, on one line.
func (v Value) Shown() string {
	switch v.Type {
	case TextValue:
		return quoteShort(v.Text)
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
