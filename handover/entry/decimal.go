package entry

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/cockroachdb/apd/v3"
)

// Decimal is a charted number with the precision it was charted with: 5.0 is
// not 5. The value is units × 10^-scale.
type Decimal struct {
	units int64
	scale int8
}

// maxDigits bounds a charted number; every field's range is far inside it.
const maxDigits = 15

// ParseDecimal reads a JSON number without exponent, at most 15 digits.
func ParseDecimal(s string) (Decimal, error) {
	if d, ok := plainDecimal(s); ok {
		return d, nil
	}
	rest := strings.TrimPrefix(s, "-")
	whole, fraction, dotted := strings.Cut(rest, ".")
	switch {
	case strings.ContainsAny(s, "eE"):
		return Decimal{}, fmt.Errorf("a number without exponent is wanted")
	case whole == "" || dotted && fraction == "" || len(whole) > 1 && whole[0] == '0':
		return Decimal{}, fmt.Errorf("not a decimal number")
	case len(whole)+len(fraction) > maxDigits:
		return Decimal{}, fmt.Errorf("at most %d digits", maxDigits)
	}
	return Decimal{}, fmt.Errorf("not a decimal number")
}

// plainDecimal is the number that a text is, in one pass, and whether it is one.
func plainDecimal(s string) (d Decimal, ok bool) {
	rest := strings.TrimPrefix(s, "-")
	digits, point := 0, -1
	for i := range len(rest) {
		switch c := rest[i]; {
		case IsDigit(c):
			digits++
			d.units = d.units*10 + int64(c-'0')
		case c == '.' && point < 0:
			point = i
		default:
			return d, false
		}
		if digits > maxDigits {
			return d, false
		}
	}
	whole := len(rest)
	if point >= 0 {
		whole = point
		d.scale = int8(digits - point)
	}
	if whole == 0 || point == len(rest)-1 || whole > 1 && rest[0] == '0' {
		return d, false
	}
	if len(rest) < len(s) {
		d.units = -d.units
	}
	return d, true
}

// Int is n without decimals.
func Int(n int64) Decimal { return Decimal{units: n} }

// MustDecimal is for constants of the program; it panics on any other text than
// ParseDecimal reads.
func MustDecimal(s string) Decimal {
	d, err := ParseDecimal(s)
	if err != nil {
		panic(err)
	}
	return d
}

// String is the number as charted: 5.0 stays 5.0.
func (d Decimal) String() string {
	var room [maxDigits + 8]byte
	return string(d.AppendText(room[:0]))
}

// AppendText appends the number as charted.
func (d Decimal) AppendText(b []byte) []byte {
	units := d.units
	if units < 0 {
		b, units = append(b, '-'), -units
	}
	from := len(b)
	b = strconv.AppendInt(b, units, 10)
	scale := int(d.scale)
	if scale == 0 {
		return b
	}
	for len(b)-from <= scale { // a digit before the point
		b = slices.Insert(b, from, '0')
	}
	return slices.Insert(b, len(b)-scale, '.')
}

// Decimals is the number of digits after the point.
func (d Decimal) Decimals() int { return int(d.scale) }

// IsZero says whether the value is 0, however written.
func (d Decimal) IsZero() bool { return d.units == 0 }

// Cmp compares values: 5.0 equals 5.
func (d Decimal) Cmp(e Decimal) int {
	a, b := d.units, e.units
	for s := d.scale; s < e.scale; s++ {
		a *= 10
	}
	for s := e.scale; s < d.scale; s++ {
		b *= 10
	}
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// Exact is the number for exact arithmetic.
func (d Decimal) Exact() *apd.Decimal { return apd.New(d.units, -int32(d.scale)) }

// Float is the number for the growth equations and the humidity formula, which
// are defined over real numbers; nothing charted is kept in it.
func (d Decimal) Float() float64 {
	f, _ := d.Exact().Float64()
	return f
}

// exact computes with 34 digits; rounding happens once, in Rounded.
var exact = apd.Context{Precision: 34, MaxExponent: 1000, MinExponent: -1000, Rounding: apd.RoundHalfUp, Traps: apd.DefaultTraps}

// Rounded is x to so many decimals, half away from zero, with exactly these
// decimals printed and no minus before zero.
func Rounded(x *apd.Decimal, decimals int32) Decimal {
	var q apd.Decimal
	wide := exact
	wide.Precision = 60
	if _, err := wide.Quantize(&q, x, -decimals); err != nil {
		panic(err) // only charted numbers of bounded size get here
	}
	units := q.Coeff.MathBigInt().Int64()
	if q.Negative {
		units = -units
	}
	return Decimal{units: units, scale: int8(decimals)} // #nosec G115 -- decimals are at most some ten
}

// RoundedFloat rounds the shortest decimal that stands for f.
func RoundedFloat(f float64, decimals int32) Decimal {
	var x apd.Decimal
	if _, err := x.SetFloat64(f); err != nil {
		panic(err)
	}
	return Rounded(&x, decimals)
}

// Mul is a × b, to 34 digits.
func Mul(a, b *apd.Decimal) *apd.Decimal {
	var r apd.Decimal
	exact.Mul(&r, a, b) // bounded operands
	return &r
}

// Quo is a ÷ b, to 34 digits; b is not zero.
func Quo(a, b *apd.Decimal) *apd.Decimal {
	var r apd.Decimal
	exact.Quo(&r, a, b) // callers never divide by zero
	return &r
}

// Add is a + b, to 34 digits.
func Add(a, b *apd.Decimal) *apd.Decimal {
	var r apd.Decimal
	exact.Add(&r, a, b) // bounded operands
	return &r
}

// Sub is d − e, exact.
func (d Decimal) Sub(e Decimal) Decimal {
	var r apd.Decimal
	exact.Sub(&r, d.Exact(), e.Exact()) // bounded operands
	return Rounded(&r, int32(max(d.scale, e.scale)))
}

// Abs is the value without its sign.
func (d Decimal) Abs() Decimal {
	if d.units < 0 {
		d.units = -d.units
	}
	return d
}
