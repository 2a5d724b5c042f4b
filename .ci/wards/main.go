// Command wards writes random wards to compare faces over: for each seed a
// record, and the moments to look at it. It is run by .ci/faces.
package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strconv"

	"cotline/internal/ward"
)

func main() {
	if err := write(os.Args[1], os.Args[2]); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	}
}

func write(dir, count string) error {
	n, err := strconv.ParseUint(count, 10, 64)
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(dir, "policy.yaml"), ward.Policy(), 0o600); err != nil {
		return err
	}
	for seed := uint64(1); seed <= n; seed++ {
		record, moments := new(bytes.Buffer), []string{}
		for line := range ward.Random(seed, 4, 2) {
			var e struct{ At string }
			if err := json.Unmarshal(line, &e); err != nil {
				return err
			}
			record.Write(line)
			moments = append(moments, e.At)
		}
		path := filepath.Join(dir, fmt.Sprintf("%03d", seed))
		if err := os.WriteFile(path+".ndjson", record.Bytes(), 0o600); err != nil {
			return err
		}
		// the end, and a moment well before it
		at := moments[len(moments)-1] + "\n" + moments[len(moments)*4/5] + "\n"
		if err := os.WriteFile(path+".at", []byte(at), 0o600); err != nil {
			return err
		}
	}
	return nil
}
