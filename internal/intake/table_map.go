package intake

import (
	"slices"

	"cotline/handover"
)

// Mapping says how a table whose headers are not the record's fields is read.
//
//	sheet: Night weights        # this sheet of a workbook alone
//	columns: {Weighed: at, "Weight (g)": weightG, Row: id, Key: infant}
//	fixed: {kind: weight, by: rn-1}
//	ignore: [Scale]
//
// Headers are compared without the blanks around and line breaks within them. A header that is a field needs no line.
type Mapping struct {
	sheet   string
	columns map[string]string // fields by header
	fixed   []handover.Field
	ignored map[string]bool // headers
}

// ReadMapping reads a mapping.
func ReadMapping(text []byte) (*Mapping, []handover.Issue) {
	v, issues := parseYAML(text)
	if len(issues) > 0 {
		return nil, issues
	}
	m := mapper{Mapping: Mapping{columns: map[string]string{}, ignored: map[string]bool{}}, fields: map[string]bool{}}
	if v.Type != handover.ObjectValue {
		m.add(v, "", handover.CodeType, "a map with sheet, columns, fixed, ignore")
		return nil, m.issues
	}
	for _, f := range v.Fields {
		m.key(f.Name, f.Value)
	}
	if len(m.issues) > 0 {
		return nil, m.issues
	}
	return &m.Mapping, nil
}

type mapper struct {
	Mapping
	fields map[string]bool // mapped or fixed
	issues []handover.Issue
}

// add tells a fault without what was found: a fixed value may be a name.
func (m *mapper) add(v handover.Value, path string, code handover.Code, allowed string) {
	m.issues = append(m.issues, handover.Issue{Line: v.Line, Path: path, Code: code, Allowed: allowed})
}

func (m *mapper) key(name string, v handover.Value) {
	switch name {
	case "sheet":
		if v.Type != handover.TextValue {
			m.add(v, name, handover.CodeType, "the name of a sheet")
		}
		m.sheet = v.Text
	case "columns":
		for _, f := range m.object(name, v) {
			m.field(name+"."+shown(f.Name), f.Value.Text, f.Value, f.Value.Type == handover.TextValue)
			m.columns[plain(f.Name)] = f.Value.Text
		}
	case "fixed":
		for _, f := range m.object(name, v) {
			m.field(name+"."+shown(f.Name), f.Name, f.Value, true)
			m.fix(f)
		}
	case "ignore":
		if v.Type != handover.ListValue {
			m.add(v, name, handover.CodeType, "a list of headers")
		}
		for _, h := range v.List {
			m.ignored[plain(h.Text)] = true
		}
	default:
		m.add(v, shown(name), handover.CodeUnknownField, "one of sheet, columns, fixed, ignore")
	}
}

func (m *mapper) object(name string, v handover.Value) []handover.Field {
	if v.Type != handover.ObjectValue {
		m.add(v, name, handover.CodeType, "a map")
		return nil
	}
	return v.Fields
}

// field checks that a field is one, and named once.
func (m *mapper) field(path, field string, v handover.Value, ok bool) {
	switch {
	case !ok || !known(field):
		m.add(v, path, handover.CodeUnknownField, "a field of an entry, as cotline schema tells it")
	case m.fields[field]:
		m.add(v, path, handover.CodeDuplicateField, "each field once: in one column, or fixed")
	}
	m.fields[field] = true
}

func (m *mapper) fix(f handover.Field) {
	switch f.Name {
	case "id":
		m.add(f.Value, "fixed.id", handover.CodeDuplicateField, "a column: each entry has an id of its own")
	case "kind":
		if _, ok := handover.KindOf(f.Value.Text); !ok {
			m.add(f.Value, "fixed.kind", handover.CodeUnknownKind, "a kind of entry, as cotline schema tells it")
		}
	}
	m.fixed = append(m.fixed, f)
}

// kind is the fixed kind of the whole table, empty for none.
func (m *Mapping) kind() string {
	i := slices.IndexFunc(m.fixed, func(f handover.Field) bool { return f.Name == "kind" })
	if i < 0 {
		return ""
	}
	return m.fixed[i].Value.Text
}

// reads says whether a sheet of that name is to be read.
func (m *Mapping) reads(sheet string) bool { return m == nil || m.sheet == "" || m.sheet == sheet }
