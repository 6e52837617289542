//go:build unix

package engines

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"strconv"
	"strings"
	"time"
)

// answerTime is how long a driver may take over one command; two slow cores build beside it.
const answerTime = 60 * time.Second

// scriptTime is how long a script of one question may take. WebKit's driver never answers one that it is asked in the moment in which a
// page makes room for the next; whoever waits for a page asks again.
const scriptTime = 20 * time.Second

// driver carries the commands of the W3C's WebDriver to a browser. It answers with the member "value" of the answer.
type driver interface {
	send(c command, params any) (json.RawMessage, error)
}

// command is one command of WebDriver by both its names: the words that Marionette knows, and the method and the end of
// the address in a session over HTTP.
type command struct{ words, method, path string }

var (
	newSession = command{"WebDriver:NewSession", http.MethodPost, ""}
	endSession = command{"WebDriver:DeleteSession", http.MethodDelete, ""}
	navigate   = command{"WebDriver:Navigate", http.MethodPost, "/url"}
	runScript  = command{"WebDriver:ExecuteScript", http.MethodPost, "/execute/sync"}
	perform    = command{"WebDriver:PerformActions", http.MethodPost, "/actions"}
	letGo      = command{"WebDriver:ReleaseActions", http.MethodDelete, "/actions"}
)

// overHTTP speaks WebDriver as the standard has it.
type overHTTP struct{ address string } // of the session, or of all sessions before there is one

func (d *overHTTP) send(c command, params any) (json.RawMessage, error) {
	var body io.Reader
	if c.method == http.MethodPost {
		text, err := json.Marshal(params)
		if err != nil {
			return nil, err
		}
		body = bytes.NewReader(text)
	}
	request, err := http.NewRequest(c.method, d.address+c.path, body)
	if err != nil {
		return nil, err
	}
	client := http.Client{Timeout: answerTime}
	if c == runScript {
		client.Timeout = scriptTime
	}
	answer, err := client.Do(request)
	if err != nil {
		return nil, err
	}
	defer answer.Body.Close()
	var said struct{ Value json.RawMessage }
	if err := json.NewDecoder(answer.Body).Decode(&said); err != nil {
		return nil, fmt.Errorf("%s %s: %s: %w", c.method, c.path, answer.Status, err)
	}
	if answer.StatusCode != http.StatusOK {
		return nil, fmt.Errorf("%s %s: %s", c.method, c.path, said.Value)
	}
	return said.Value, nil
}

// overMarionette speaks the same commands over the line that Firefox opens: each message is its length in bytes, a colon
// and a list: 0, a number, the command and its values; the answer is 1, the number, an error or null, and the result.
type overMarionette struct {
	line net.Conn
	last int // number of the last message
}

func (d *overMarionette) send(c command, params any) (json.RawMessage, error) {
	if err := d.line.SetDeadline(time.Now().Add(answerTime)); err != nil {
		return nil, err
	}
	d.last++
	text, err := json.Marshal([]any{0, d.last, c.words, params})
	if err != nil {
		return nil, err
	}
	if _, err := fmt.Fprintf(d.line, "%d:%s", len(text), text); err != nil {
		return nil, err
	}
	heard, err := d.hear()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", c.words, err)
	}
	var parts [4]json.RawMessage
	if err := json.Unmarshal(heard, &parts); err != nil {
		return nil, fmt.Errorf("%s: %q: %w", c.words, heard, err)
	}
	if number := string(parts[1]); number != strconv.Itoa(d.last) {
		return nil, fmt.Errorf("%s is message %d and the answer is to %s", c.words, d.last, number)
	}
	if string(parts[2]) != "null" {
		return nil, fmt.Errorf("%s: %s", c.words, parts[2])
	}
	var result struct{ Value json.RawMessage }
	if c == newSession || json.Unmarshal(parts[3], &result) != nil || result.Value == nil {
		return parts[3], nil
	}
	return result.Value, nil
}

// hear reads one message.
func (d *overMarionette) hear() ([]byte, error) {
	var digits strings.Builder
	for one := make([]byte, 1); ; digits.Write(one) {
		if _, err := io.ReadFull(d.line, one); err != nil {
			return nil, err
		}
		if one[0] == ':' {
			break
		}
	}
	length, err := strconv.Atoi(digits.String())
	if err != nil || length < 0 || length > 64<<20 {
		return nil, fmt.Errorf("a message of length %q", digits.String())
	}
	message := make([]byte, length)
	_, err = io.ReadFull(d.line, message)
	return message, err
}
