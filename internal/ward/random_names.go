package ward

import "hash/fnv"

// Invented names: weather, plants and stones, run together.
var (
	stems = []string{
		"Fog",
		"Föhn",
		"Frost",
		"Hail",
		"Mist",
		"Névé",
		"Rain",
		"Sleet",
		"Storm",
		"Thaw",
		"Wind",
		"Snow",
		"Dew",
		"Cloud",
		"Thunder",
		"Drift",
	}
	plants = []string{
		"alder",
		"bracken",
		"clover",
		"dock",
		"fern",
		"gorse",
		"heather",
		"ivy",
		"larch",
		"moss",
		"nettle",
		"reed",
		"rush",
		"sedge",
		"thrift",
		"vetch",
	}
	stones = []string{
		"agate",
		"basalt",
		"chalk",
		"flint",
		"gneiss",
		"gravel",
		"jasper",
		"marl",
		"opal",
		"quartz",
		"schist",
		"slate",
		"tuff",
		"beryl",
		"onyx",
		"spar",
	}
	given = []string{"Amber", "Breeze", "Cinder", "Drizzle", "Ember", "Gale", "Haze", "Jade", "Mizzle", "Pebble", "Rime", "Squall"}
)

// family is the family name that goes with an infant's key.
func family(key string) string {
	h := fnv.New32a()
	h.Write([]byte(key))
	x := int(h.Sum32() % 4096)
	return stems[x%16] + plants[x/16%16] + stones[x/256]
}

// swapped is a number with its last two neighbouring digits that differ swapped, or another number if no digits differ.
func swapped(number, other string) string {
	b := []byte(number)
	for i := len(b) - 1; i > 0; i-- {
		if b[i] != b[i-1] {
			b[i], b[i-1] = b[i-1], b[i]
			return string(b)
		}
	}
	return other
}
