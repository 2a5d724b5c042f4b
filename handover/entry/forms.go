package entry

// The forms of short texts are told byte by byte: they stand in every entry, and a regular
// expression would cost more than all else that is done with the entry.

// fits says whether a text is as a pattern, in which 0 stands for a digit, x for a
// hexadecimal one, and anything else for itself.
func fits(s, pattern string) bool {
	if len(s) != len(pattern) {
		return false
	}
	for i := range len(s) {
		switch c := s[i]; pattern[i] {
		case '0':
			if !IsDigit(c) {
				return false
			}
		case 'x':
			if !IsDigit(c) && (c|0x20 < 'a' || c|0x20 > 'f') {
				return false
			}
		default:
			if c != pattern[i] {
				return false
			}
		}
	}
	return true
}

// isUUID is the form of RFC 9562, section 4.
func isUUID(s string) bool { return fits(s, "xxxxxxxx-xxxx-xxxx-xxxx-xxxxxxxxxxxx") }

// IsKey is 1 to 64 of A-Z a-z 0-9 . _ -
func IsKey(s string) bool {
	if s == "" || len(s) > 64 {
		return false
	}
	for i := range len(s) {
		if c := s[i]; !IsDigit(c) && (c|0x20 < 'a' || c|0x20 > 'z') && c != '.' && c != '_' && c != '-' {
			return false
		}
	}
	return true
}

// isGestation is completed weeks, 10 to 49, and days 0 to 6 if they are known.
func isGestation(s string) bool {
	return (fits(s, "00") || fits(s, "00+0") && s[3] <= '6') && s[0] >= '1' && s[0] <= '4'
}

// isInstant is the grammar of RFC 3339, section 5.6, with T and Z in upper case;
// time.Parse alone also takes an hour of one digit, a comma before the fraction and an
// offset of 24 hours. Days and hours beyond their range are left to it.
func isInstant(s string) bool {
	const second = len("2006-01-02T15:04:05")
	if len(s) <= second || !fits(s[:second], "0000-00-00T00:00:00") {
		return false
	}
	s = s[second:]
	if s[0] == '.' {
		n := 1
		for n < len(s) && IsDigit(s[n]) {
			n++
		}
		if n < 2 || n > 10 {
			return false
		}
		s = s[n:]
	}
	if s == "Z" {
		return true
	}
	return (fits(s, "+00:00") || fits(s, "-00:00")) && s[1:3] <= "23" && s[4] <= '5'
}

// IsClock is a time of day as 07:30.
func IsClock(s string) bool { return fits(s, "00:00") && s[:2] <= "23" && s[3] <= '5' }

// durationParts are the parts of a duration as 1d2h30m or 60s. Any may be left out, but
// not all.
func durationParts(s string) (days, hours, minutes, seconds int, ok bool) {
	days, rest := leading(s, 'd', 4)
	hours, rest = leading(rest, 'h', 5)
	minutes, rest = leading(rest, 'm', 6)
	seconds, rest = leading(rest, 's', 6)
	return days, hours, minutes, seconds, s != "" && rest == ""
}

// leading splits off a number of at most so many digits, which a mark ends; of a text
// that does not begin with one, nothing.
func leading(s string, mark byte, most int) (n int, rest string) {
	i := 0
	for i < len(s) && i <= most && IsDigit(s[i]) {
		n = n*10 + int(s[i]-'0')
		i++
	}
	if i == 0 || i > most || i == len(s) || s[i] != mark {
		return 0, s
	}
	return n, s[i+1:]
}

// IsDigit says whether a byte is 0 to 9 of ASCII.
func IsDigit(c byte) bool { return c >= '0' && c <= '9' }
