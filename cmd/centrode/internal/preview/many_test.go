package preview

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// serving makes a copy of this test the server, so that the readers' ends of the connections count against another limit of open files.
const serving = "CENTRODE_TEST_SERVES"

// connections is how many are held open at once; PREVIEW_CONNECTIONS=10000 asks for all (tests/hard/long.sh does).
func connections() int {
	if n, err := strconv.Atoi(os.Getenv("PREVIEW_CONNECTIONS")); err == nil {
		return n
	}
	return 200
}

// serveAndTell is the server's side: it tells its address, then for each line on its input what it holds, after a change if the line asks for one.
func serveAndTell(t *testing.T) {
	p := start(t, func(n int64) (map[string][]byte, error) { return page(fmt.Sprint("here ", n)), nil })
	fmt.Println("\nserves", strings.Trim(strings.TrimPrefix(p.address, "http://"), "/"))
	for lines := bufio.NewScanner(os.Stdin); lines.Scan(); {
		if lines.Text() == "change" {
			p.change(t, "content/lessons/a.md")
		}
		open, _ := os.ReadDir("/proc/self/fd") // none where the system has no such folder
		fmt.Println("\nholds", runtime.NumGoroutine(), len(open))
	}
}

// server is a preview in a process of its own.
type server struct {
	ask     io.WriteCloser
	lines   *bufio.Scanner
	address string
}

func startServer(t *testing.T) *server {
	t.Helper()
	child := exec.Command(os.Args[0], "-test.run=^TestManyConnectionsAreServedAndLeaveNothing$")
	child.Env = append(os.Environ(), serving+"=yes")
	in, err := child.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := child.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		in.Close()
		if err := child.Wait(); err != nil {
			t.Errorf("the server: %v", err)
		}
	})
	s := &server{ask: in, lines: bufio.NewScanner(out)}
	s.address = s.told(t, "serves ")
	return s
}

// told waits for the line that begins with word.
func (s *server) told(t *testing.T, word string) string {
	t.Helper()
	for s.lines.Scan() {
		if rest, ok := strings.CutPrefix(s.lines.Text(), word); ok {
			return rest
		}
	}
	t.Fatalf("the server ended before it told what it %s", word)
	return ""
}

// holds asks the server for its goroutines and open files.
func (s *server) holds(t *testing.T, order string) (goroutines, files int) {
	t.Helper()
	fmt.Fprintln(s.ask, order)
	if _, err := fmt.Sscan(s.told(t, "holds "), &goroutines, &files); err != nil {
		t.Fatal(err)
	}
	return goroutines, files
}

// reader is one open connection.
type reader struct {
	conn net.Conn
	text *bufio.Reader
}

func connect(address, target string) (reader, error) {
	c, err := net.Dial("tcp", address)
	if err != nil {
		return reader{}, err
	}
	r := reader{c, bufio.NewReaderSize(c, 256)}
	fmt.Fprintf(c, "GET %s HTTP/1.1\r\nHost: localhost\r\n\r\n", target)
	_ = c.SetReadDeadline(time.Now().Add(3 * patience))
	if line, err := r.text.ReadString('\n'); err != nil || !strings.Contains(line, " 200 ") {
		c.Close()
		return reader{}, fmt.Errorf("%q, %w", line, err)
	}
	return r, nil
}

// hears waits for an event with the data.
func (r reader) hears(data string) bool {
	_ = r.conn.SetReadDeadline(time.Now().Add(3 * patience))
	for {
		line, err := r.text.ReadString('\n')
		if err != nil || strings.HasPrefix(line, "data: "+data) {
			return err == nil
		}
	}
}

// Many readers keep their connections and half of them listen for a reload; every one is answered and hears of a change, and
// when they are gone nothing of them stays.
func TestManyConnectionsAreServedAndLeaveNothing(t *testing.T) {
	if os.Getenv(serving) != "" {
		serveAndTell(t)
		return
	}
	s := startServer(t)
	goroutines, files := s.holds(t, "")
	all := make([]reader, connections())
	var bad atomic.Int64
	crowd := func(do func(i int) error) {
		var wait sync.WaitGroup
		room := make(chan struct{}, 200)
		for i := range all {
			wait.Go(func() {
				room <- struct{}{}
				defer func() { <-room }()
				if err := do(i); err != nil && bad.Add(1) < 4 {
					t.Errorf("connection %d of %d: %v", i, len(all), err)
				}
			})
		}
		wait.Wait()
	}
	crowd(func(i int) (err error) {
		all[i], err = connect(s.address, [...]string{"/", "/_preview/events"}[i%2])
		return err
	})
	most, open := s.holds(t, "change")
	if open > 0 && open < len(all) || most < len(all) {
		t.Errorf("the server holds %d files and %d goroutines for %d connections: they are not open at once", open, most, len(all))
	}
	crowd(func(i int) error {
		if i%2 == 1 && all[i].conn != nil && !all[i].hears("2 ") {
			return fmt.Errorf("does not hear of the change")
		}
		return nil
	})
	if r, err := connect(s.address, "/"); err != nil {
		t.Errorf("one more reader gets nothing: %v", err)
	} else {
		r.conn.Close()
	}
	for _, r := range all {
		if r.conn != nil {
			r.conn.Close()
		}
	}
	after, left := 0, 0
	waitFor(t, "the end of all that served them", func() bool {
		after, left = s.holds(t, "")
		return after <= goroutines+4 && left <= files+4
	})
	t.Logf("%d connections, %d not answered; goroutines %d, then %d, then %d; open files %d, then %d, then %d", len(all), bad.Load(), goroutines, most, after, files, open, left)
}
