package r4

import (
	"encoding/json"
)

// text reads a string from its quotation mark on, and says whether it is all of
// printable ASCII.
func (p *scanner) text() (s string, plain bool, err error) {
	start := p.i + 1
	if i := ordinaryTo(p.b, start); i < len(p.b) && p.b[i] == '"' {
		p.i = i + 1
		return p.s[start:i], true, nil
	}
	return p.other(start)
}

// other reads a string that has an escape or is not all of ASCII.
func (p *scanner) other(start int) (s string, plain bool, err error) {
	from := start // what is not in taken yet
	taken := p.taken[:0]
	plain = true
	for i := ordinaryTo(p.b, start); i < len(p.b); i = ordinaryTo(p.b, i+1) {
		switch c := p.b[i]; {
		case c == '"':
			p.i = i + 1
			if s = p.s[from:i]; len(taken) > 0 {
				p.taken = append(taken, s...)
				s = string(p.taken)
			}
			return s, plain, nil
		case c < 0x20 || c == '\\' && i+1 == len(p.b):
			return "", false, errNotWhole
		case c == '\\':
			escape := escapes[p.b[i+1]]
			if escape == 0 {
				return p.numbered(start)
			}
			plain = plain && escape >= 0x20
			taken = append(append(taken, p.b[from:i]...), escape)
			i++
			from = i + 1
		default:
			plain = false
		}
	}
	return "", false, errNotWhole
}

// escapes are what a backslash and one letter stand for.
var escapes = [256]byte{'"': '"', '\\': '\\', '/': '/', 'b': '\b', 'f': '\f', 'n': '\n', 'r': '\r', 't': '\t'}

// numbered reads a string that has an escape of four digits, from its start on.
func (p *scanner) numbered(start int) (s string, plain bool, err error) {
	for p.i = start; p.i < len(p.b) && p.b[p.i] != '"'; p.i++ {
		if p.b[p.i] == '\\' {
			p.i++
		}
	}
	p.i++
	if p.i > len(p.b) || json.Unmarshal(p.b[start-1:p.i], &s) != nil {
		return "", false, errNotWhole
	}
	return s, false, nil
}
