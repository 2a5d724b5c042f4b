//go:build unix

package cli

import (
	"errors"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"cotline/internal/ward"
)

// The server is killed between the post of a form and its answer, at once or a little later,
// and started again: what the device sends once more is charted once.
func TestKilledBetweenPostAndAnswer(t *testing.T) {
	record, run := demoCharted(t)
	held := func() int {
		t.Helper()
		m := regexp.MustCompile(`: ([0-9]+) entries`).FindStringSubmatch(run("verify"))
		if m == nil {
			t.Fatal("verify does not count")
		}
		n, err := strconv.Atoi(m[1])
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	link := run("people", "add", "--name", "agate", "--shown", "RN Agate", "--role", "nurse")

	program := programFile(t)
	start := func() (cmd *exec.Cmd, address string) {
		t.Helper()
		stderr := &said{}
		cmd = exec.Command(program, "serve", "--listen", "127.0.0.1:0", "--record", record)
		cmd.Env, cmd.Stderr = append(os.Environ(), "NOW="+ward.DemoAt), stderr
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { cmd.Process.Kill() }) // it may have ended
		return cmd, stderr.wait(t, `listening on (http://127\.0\.0\.1:[0-9]+)`)
	}
	kill := func(cmd *exec.Cmd) {
		t.Helper()
		if err := cmd.Process.Kill(); err != nil && !errors.Is(err, os.ErrProcessDone) {
			t.Fatal(err)
		}
		cmd.Wait() // that it was killed is no news
	}
	const password = "copper lantern, two oars"
	cmd, address := start()
	posted(t, browse(t), address+link, url.Values{"password": {password}, "again": {password}})
	nurse := browse(t)
	posted(t, nurse, address+"/sign-in", url.Values{"name": {"agate"}, "password": {password}})

	before := held()
	lost := 0
	for round, after := range []time.Duration{0, time.Millisecond, 5 * time.Millisecond, 20 * time.Millisecond, time.Minute} {
		form := url.Values{"token": {uuid.NewString()}, "sent.by": {"agate"}, "observations.spo2Percent": {strconv.Itoa(90 + round)}}
		path := "/units/" + unit + "/infants/in-05/chart/round"
		sent := make(chan bool, 1)
		go func(to string) {
			stay := &http.Client{Jar: nurse.Jar,
				CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
			got, err := stay.PostForm(to, form)
			if err == nil {
				got.Body.Close() // only that it came counts
			}
			sent <- err == nil
		}(address + path)
		select {
		case <-time.After(after):
			kill(cmd)
			if !<-sent {
				lost++
			}
		case <-sent: // it was taken, and say that the answer never came
			kill(cmd)
		}
		cmd, address = start()
		form.Set("sent.device", "1000")
		form.Set("sent.now", "1500")
		for range 2 {
			r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, address+path, strings.NewReader(form.Encode()))
			if err != nil {
				t.Fatal(err)
			}
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			r.Header.Set("X-Deliver", "1")
			got, err := nurse.Do(r)
			if err != nil {
				t.Fatal(err)
			}
			got.Body.Close() // its kind tells
			if kind := got.Header.Get("Content-Type"); got.StatusCode != http.StatusOK || kind != "application/json" {
				t.Fatalf("round %d: %d %s", round, got.StatusCode, kind)
			}
		}
	}
	kill(cmd)
	if n := held() - before; n != 5 {
		t.Errorf("%d entries of 5 forms", n)
	}
	if lost == 0 {
		t.Error("no answer was lost")
	}
	t.Logf("%d answers were lost", lost)
}
