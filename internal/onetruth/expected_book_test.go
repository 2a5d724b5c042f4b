package onetruth

import "strings"

// expectedInTables are the facts as the sheets can tell them.
func (f facts) expectedInTables() facts {
	out := f.expected(inBook)
	for _, key := range f.keys() {
		who, path, _ := strings.Cut(key, " ")
		item := who + " " + path[:strings.LastIndexAny(path, ".")+1]
		switch general(key) {
		case "infant":
			out.fullName(f, item)
		case "left[].cot":
			out.fullName(f, item)
			number := f[item+"mrn"]
			if number == "" {
				number = f[item+"temporary"]
			}
			out[item+"number"] = number
			if f[item+"restricted"] != "" {
				out[item+"name"] = "not shown"
			} else if out[item+"name"] == "" {
				out[item+"name"] = notCharted
			}
			for _, part := range []string{"mrn", "temporary", "restricted"} {
				delete(out, item+part)
			}
		case "skin.sites[].also": // a row only where there is something
			if f[key] == none {
				delete(out, key)
			}
		}
	}
	return out
}

func (out facts) fullName(f facts, item string) {
	name := strings.TrimPrefix(strings.TrimSuffix(f[item+"family"]+", "+f[item+"given"], ", "), ", ")
	delete(out, item+"family")
	delete(out, item+"given")
	if name != "" {
		out[item+"name"] = name
	}
}
