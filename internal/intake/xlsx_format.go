package intake

import (
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/nfp"
)

// cellFormat is what a number format makes of a number.
type cellFormat struct {
	code         string
	shows        shows
	fewest, most int // decimals
}

type shows int8

const (
	showsAsHeld   shows = iota // General, or as text: up to 15 digits
	showsDecimals              // plain, with so many decimals
	showsDay                   // year, month and day
	showsMoment                // and hours and minutes
	showsOther                 // a part of a date, a percentage, a fraction, an amount, words
)

// builtIn are the formats that files name by number alone (ISO/IEC 29500-1, 18.8.30); those of single languages, which
// only their programs know, are left out and show something other.
var builtIn = map[string]string{
	"": "General", "0": "General", "1": "0", "2": "0.00", "3": "#,##0", "4": "#,##0.00", "9": "0%", "10": "0.00%", "11": "0.00E+00",
	"12": "# ?/?", "13": "# ??/??",
	"14": "mm-dd-yy", "15": "d-mmm-yy", "16": "d-mmm", "17": "mmm-yy", "18": "h:mm AM/PM", "19": "h:mm:ss AM/PM", "20": "h:mm",
	"21": "h:mm:ss", "22": "m/d/yy h:mm",
	"37": "#,##0 ;(#,##0)", "38": "#,##0 ;[Red](#,##0)", "39": "#,##0.00;(#,##0.00)", "40": "#,##0.00;[Red](#,##0.00)",
	"45": "mm:ss", "46": "[h]:mm:ss", "47": "mmss.0", "48": "##0.0E+0", "49": "@",
}

func formatOf(id string, codes map[string]string) cellFormat {
	code, ok := codes[id]
	if !ok {
		code = builtIn[id]
	}
	f := cellFormat{code: code, shows: showsOther}
	if tokens, ok := firstSection(code); ok {
		f.shows, f.fewest, f.most = classify(tokens)
	}
	return f
}

// firstSection is the part of a format for numbers above zero: no field takes one below that is in range.
func firstSection(code string) (tokens []nfp.Token, ok bool) {
	defer func() {
		if recover() != nil { // the parser gave up on a code that is none
			tokens, ok = nil, false
		}
	}()
	p := nfp.NumberFormatParser()
	sections := p.Parse(code)
	if len(sections) == 0 {
		return nil, false
	}
	return sections[0].Items, true
}

func classify(tokens []nfp.Token) (s shows, fewest, most int) {
	general, point, digits := false, false, false
	var year, month, day, hour bool
	months := 0
	for _, t := range tokens {
		switch t.TType {
		case nfp.TokenTypeGeneral, nfp.TokenTypeTextPlaceHolder:
			general = true
		case nfp.TokenTypeDecimalPoint:
			point = true
		case nfp.TokenTypeZeroPlaceHolder, nfp.TokenTypeHashPlaceHolder, nfp.TokenTypeDigitalPlaceHolder:
			digits = true
			if point {
				most += len(t.TValue)
				if t.TType == nfp.TokenTypeZeroPlaceHolder {
					fewest += len(t.TValue)
				}
			}
		case nfp.TokenTypeDateTimes:
			switch strings.ToLower(t.TValue)[0] {
			case 'y':
				year = true
			case 'd':
				day = true
			case 'h':
				hour = true
			case 'm':
				months++
			}
		case nfp.TokenTypeAlignment, nfp.TokenTypeColor, nfp.TokenTypeCurrencyLanguage:
			if strings.Trim(t.TValue, "[]$-0123456789ABCDEFabcdef") != "" && t.TType == nfp.TokenTypeCurrencyLanguage {
				return showsOther, 0, 0 // an amount of money
			}
		case nfp.TokenTypeLiteral:
			if strings.Trim(t.TValue, " -/.:,T") != "" {
				return showsOther, 0, 0
			}
		default:
			return showsOther, 0, 0
		}
	}
	month = months > 0
	switch {
	case year && month && day && !hour && !digits:
		return showsDay, 0, 0
	case year && months > 1 && day && hour:
		return showsMoment, 0, 0
	case year || month || day || hour:
		return showsOther, 0, 0
	case digits && !general:
		return showsDecimals, fewest, most
	case general && !digits:
		return showsAsHeld, 0, 0
	}
	return showsOther, 0, 0
}

// number makes a cell of a number as its format shows it. The text is the file's own of a binary number; what a
// spreadsheet program holds is up to 15 digits of it.
func (f cellFormat) number(column int, text string, from1904 bool) cell {
	c := cell{column: column, holds: holdsFault, text: text}
	held, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(held, 0) || math.IsNaN(held) {
		c.why = "a number"
		return c
	}
	switch f.shows {
	case showsDay, showsMoment:
		return f.date(c, held, from1904)
	case showsOther:
		c.why = "a plain number or a whole date: the cell's format is " + shown(f.code) + "; use 0.0, yyyy-mm-dd or yyyy-mm-dd hh:mm"
		return c
	}
	const digits = 15
	if held, err = strconv.ParseFloat(strconv.FormatFloat(held, 'g', digits, 64), 64); err != nil {
		c.why = "a number"
		return c
	}
	c.text = strconv.FormatFloat(held, 'f', -1, 64)
	if f.shows == showsDecimals {
		_, decimals, _ := strings.Cut(c.text, ".")
		if len(decimals) > f.most {
			c.why = "what it shows: the cell holds more decimals than its format " + shown(f.code) + " shows"
			return c
		}
		if missing := f.fewest - len(decimals); missing > 0 {
			if decimals == "" {
				c.text += "."
			}
			c.text += strings.Repeat("0", missing)
		}
	}
	c.holds = holdsNumber
	return c
}

// Days are counted from 1899-12-30, or from 1904-01-01 where the workbook says so. The first calendar holds a 29 February
// 1900 that never was (ISO/IEC 29500-1, 18.17.4.1): it is taken from the day after on.
func (f cellFormat) date(c cell, held float64, from1904 bool) cell {
	base, first := time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC), 61.0
	if from1904 {
		base, first = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC), 0
	}
	const lastDay = 2_958_466 // 9999-12-31 and its hours
	if held < first || held >= lastDay {
		c.why = "a date from 1900-03-01 to 9999"
		return c
	}
	days := math.Floor(held)
	seconds := math.Round((held - days) * 86400)
	c.when = base.AddDate(0, 0, int(days)).Add(time.Duration(seconds) * time.Second)
	c.text = c.when.Format("2006-01-02 15:04:05")
	c.holds = holdsMoment
	if f.shows == showsDay {
		if seconds != 0 {
			c.holds, c.why = holdsFault, "what it shows: the cell shows a day and holds a time of day too; use the format yyyy-mm-dd hh:mm"
			return c
		}
		c.text, c.holds = c.when.Format(time.DateOnly), holdsDay
	}
	return c
}
