package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"testing"

	"centrode/cmd/centrode/internal/batch"

	"golang.org/x/sys/unix"
)

// What is told of a batch stands on a line of its own, and not behind the number of rows that a terminal was shown meanwhile.
func TestTheLineOfProgressIsGoneBeforeAnythingIsSaid(t *testing.T) {
	screen, terminal := newTerminal(t)
	s := source{batch: func(job batch.Job, _ io.Writer) (batch.Tally, error) {
		job.Progress(2)
		return batch.Tally{Rows: 3, Refused: 2}, nil
	}}
	if status := runBatch(s, batch.Job{}, calcCommand{format: "csv"}, "rows.csv", io.Discard, terminal); status != 1 {
		t.Errorf("the status is %d", status)
	}
	shown, err := bufio.NewReader(screen).ReadString('\n') // it may come in pieces
	if want := "\r2 rows" + clearLine + "2 rows of 3 were refused; the error of each says why\r\n"; err != nil || shown != want {
		t.Errorf("shown %q, %v, want %q", shown, err, want)
	}
}

// newTerminal makes a terminal and what shows it.
func newTerminal(t *testing.T) (screen, terminal *os.File) {
	t.Helper()
	screen, err := os.OpenFile("/dev/ptmx", os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { screen.Close() })
	if err := unix.IoctlSetPointerInt(int(screen.Fd()), unix.TIOCSPTLCK, 0); err != nil {
		t.Fatal(err)
	}
	number, err := unix.IoctlGetInt(int(screen.Fd()), unix.TIOCGPTN)
	if err != nil {
		t.Fatal(err)
	}
	terminal, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", number), os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { terminal.Close() })
	return screen, terminal
}
