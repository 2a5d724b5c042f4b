package sheets

import (
	"fmt"
	"regexp"
	"strings"
	"time"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// Refused says what a workbook cannot hold and where; nothing was written. It never holds the text itself, which may be
// a name.
type Refused struct {
	Sheet  string
	Row    int    // as the sheet would count it
	Column string // its header
	Of     string // the entry's id or the infant's key
	Why    string
}

func (r Refused) Error() string {
	of := ""
	if r.Of != "" {
		of = " (" + r.Of + ")"
	}
	return fmt.Sprintf("workbook: sheet %s, row %d%s, column %s: %s", r.Sheet, r.Row, of, r.Column, r.Why)
}

// mostText is the longest text in UTF-16 units. The format allows 32,767; readers have been seen to cut near it.
const mostText = 32_000

// unfit says why a text cannot be written as it is, empty when it can. Line breaks and tabs are charted in notes and
// can; other control characters would be altered or make the file unreadable (XML 1.0, section 2.2).
func unfit(s string) string {
	for i, r := range s {
		switch {
		case r >= ' ' && r < 0x7f, r == '\n', r == '\t':
		case r == utf8.RuneError && !strings.HasPrefix(s[i:], string(utf8.RuneError)):
			return "not valid UTF-8"
		case unicode.IsControl(r), r == 0xfffe, r == 0xffff:
			return fmt.Sprintf("control character U+%04X: a cell takes line breaks and tabs only", r)
		}
	}
	if strings.Contains(s, "_x") && codes.MatchString(s) {
		return "codes such as _xD800_ that a cell reads as other characters"
	}
	if len(s) <= mostText { // a unit takes a byte or more
		return ""
	}
	if n := units(s); n > mostText {
		return fmt.Sprintf("%d characters: a cell takes at most %d", n, mostText)
	}
	return ""
}

// codes are those of the format's own escapes (ISO/IEC 29500-1, 22.9.2.19) that the spreadsheet library does not guard:
// halves of characters, and two codes that share an underscore. It guards all others.
var codes = regexp.MustCompile(`_x[dD][89a-fA-F][0-9a-fA-F]{2}_|_x[0-9a-fA-F]{4}_x[0-9a-fA-F]{4}_`)

// units counts as the format does, in UTF-16.
func units(s string) int {
	n := 0
	for _, r := range s {
		n += utf16.RuneLen(r)
	}
	return n
}

// firstDay is the first day on which all spreadsheet programs count alike: the format's first calendar holds a
// 29 February 1900 that never was (ISO/IEC 29500-1, 18.17.4.1).
var firstDay = time.Date(1900, 3, 1, 0, 0, 0, 0, time.UTC)

func (c cell) unfit() string {
	switch c.show {
	case showMoment, showDay:
		y, m, d := c.when.Date()
		if time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Before(firstDay) || y > 9999 {
			return "a date before 1900-03-01 or after 9999: a cell cannot hold it"
		}
	case showText, showWord, showOffset:
		return unfit(c.text)
	}
	return ""
}
