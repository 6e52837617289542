//go:build unix

package engines

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// engine is a browser that a driver commands. troubles tells what went wrong in its pages from its start on.
type engine struct {
	driver
	version  string // "firefox 153.8.0"
	troubles func() ([]string, error)
	listen   string   // script that makes a page note its troubles; "": the browser tells them
	heard    int      // of the troubles, those that a test was told of
	stops    []func() // last first
}

func (e *engine) stop() {
	for i := range e.stops {
		e.stops[len(e.stops)-1-i]()
	}
}

// run starts a program in a group of processes of its own, which ends with the engine; what it prints goes to out.
func (e *engine) run(out *os.File, environment []string, extra []*os.File, name string, args ...string) error {
	cmd := exec.Command(name, args...)
	cmd.Env = append(os.Environ(), environment...)
	cmd.Stdout, cmd.Stderr, cmd.ExtraFiles = out, out, extra
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	if err := cmd.Start(); err != nil {
		return err
	}
	e.stops = append(e.stops, func() {
		syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) // its children too
		cmd.Wait()
	})
	return nil
}

// log opens a file in dir for what a program prints.
func (e *engine) log(dir string) (*os.File, error) {
	file, err := os.Create(filepath.Join(dir, "printed.txt"))
	if err == nil {
		e.stops = append(e.stops, func() { file.Close() })
	}
	return file, err
}

// begin asks for a session and notes which browser it is.
func (e *engine) begin(wanted map[string]any) (session string, err error) {
	answer, err := e.send(newSession, map[string]any{"capabilities": map[string]any{"alwaysMatch": wanted}})
	if err != nil {
		return "", err
	}
	var given struct {
		SessionID    string
		Capabilities struct{ BrowserName, BrowserVersion string }
	}
	if err := json.Unmarshal(answer, &given); err != nil {
		return "", err
	}
	e.version = given.Capabilities.BrowserName + " " + given.Capabilities.BrowserVersion
	e.stops = append(e.stops, func() { e.send(endSession, map[string]any{}) })
	return given.SessionID, nil
}

// waitFor dials until somebody listens.
func waitFor(port int) (line net.Conn, err error) {
	for end := time.Now().Add(answerTime); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		if line, err = net.Dial("tcp", "127.0.0.1:"+strconv.Itoa(port)); err == nil {
			return line, nil
		}
	}
	return nil, err
}

// freePort is one that nobody listens on.
func freePort() (int, error) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return 0, err
	}
	defer l.Close()
	return l.Addr().(*net.TCPAddr).Port, nil
}

// quiet settings of Firefox: where to listen, nothing fetched by itself, what pages say on its standard output.
const quiet = `user_pref("marionette.port", %d);
user_pref("browser.dom.window.dump.enabled", true);
user_pref("devtools.console.stdout.content", true);
user_pref("services.settings.server", "data:,");
user_pref("browser.startup.page", 0);
user_pref("layout.css.prefers-color-scheme.content-override", %d);
user_pref("app.normandy.enabled", false);
user_pref("app.update.enabled", false);
user_pref("browser.safebrowsing.malware.enabled", false);
user_pref("browser.safebrowsing.phishing.enabled", false);
user_pref("browser.safebrowsing.update.enabled", false);
user_pref("datareporting.policy.dataSubmissionEnabled", false);
user_pref("network.captive-portal-service.enabled", false);
user_pref("network.connectivity-service.enabled", false);
user_pref("toolkit.telemetry.server", "");
`

// firefox are the names of Firefox.
var firefox = []string{"firefox-esr", "firefox"}

// startFirefox needs Firefox. dir is its profile.
func startFirefox(dir string, dark bool) (*engine, error) {
	e := &engine{}
	program, err := firstProgram(firefox...)
	if err != nil {
		return e, err
	}
	port, err := freePort()
	if err != nil {
		return e, err
	}
	scheme := 1 // light
	if dark {
		scheme = 0
	}
	if err := os.WriteFile(filepath.Join(dir, "user.js"), fmt.Appendf(nil, quiet, port, scheme), 0o600); err != nil {
		return e, err
	}
	printed, err := e.log(dir)
	if err != nil {
		return e, err
	}
	if err := e.run(printed, []string{"HOME=" + dir}, nil, program, "--headless", "--marionette", "--remote-allow-system-access", "--no-remote", "--profile", dir); err != nil {
		return e, err
	}
	line, err := waitFor(port)
	if err != nil {
		return e, err
	}
	e.stops = append(e.stops, func() { line.Close() })
	m := &overMarionette{line: line}
	if err := line.SetDeadline(time.Now().Add(answerTime)); err != nil {
		return e, err
	}
	if _, err := m.hear(); err != nil { // it introduces itself
		return e, err
	}
	e.driver = m
	_, err = e.begin(map[string]any{})
	e.troubles = func() ([]string, error) { return firefoxTroubles(m, printed.Name()) }
	return e, err
}

// pageErrors lists, in Firefox's own context, what scripts and the content policy did wrong; warnings are left out.
const pageErrors = `return Services.console.getMessageArray()
	.filter((m) => m instanceof Ci.nsIScriptError && !(m.flags & Ci.nsIScriptError.warningFlag) && !/^(chrome|resource|moz-extension):/.test(m.sourceName))
	.map((m) => m.errorMessage + ' ' + m.sourceName + ':' + m.lineNumber)`

func firefoxTroubles(m *overMarionette, printed string) ([]string, error) {
	context := func(name string) error {
		_, err := m.send(command{words: "Marionette:SetContext"}, map[string]any{"value": name})
		return err
	}
	if err := context("chrome"); err != nil {
		return nil, err
	}
	answer, err := m.send(runScript, map[string]any{"script": pageErrors, "args": []any{}})
	if err := errors.Join(err, context("content")); err != nil {
		return nil, err
	}
	var list []string
	if err := json.Unmarshal(answer, &list); err != nil {
		return nil, err
	}
	text, err := os.ReadFile(printed)
	for line := range strings.Lines(string(text)) {
		own := strings.HasPrefix(line, "console.error: RSLoader:") // Firefox misses its server for experiments
		if !own && (strings.HasPrefix(line, "console.error:") || strings.HasPrefix(line, "console.assert:")) {
			list = append(list, strings.TrimSpace(line))
		}
	}
	return list, err
}

// startWebKit needs WebKitWebDriver, the small browser of WebKitGTK and Xvfb, a screen without glass.
func startWebKit(dir string, dark bool) (*engine, error) {
	e := &engine{}
	program, err := firstProgram("WebKitWebDriver")
	if err != nil {
		return e, err
	}
	browsers, err := filepath.Glob("/usr/lib/*/webkit2gtk-4.1/MiniBrowser")
	if err != nil {
		return e, err
	}
	if len(browsers) == 0 {
		return e, errors.New("MiniBrowser of WebKitGTK was not found")
	}
	port, err := freePort()
	if err != nil {
		return e, err
	}
	printed, err := e.log(dir)
	if err != nil {
		return e, err
	}
	screen, err := e.screen(printed)
	if err != nil {
		return e, err
	}
	theme := "Adwaita"
	if dark {
		theme += ":dark"
	}
	environment := []string{"DISPLAY=" + screen, "LIBGL_ALWAYS_SOFTWARE=1", "GTK_THEME=" + theme, "HOME=" + dir, "XDG_RUNTIME_DIR=" + dir, "NO_AT_BRIDGE=1"}
	if err := e.run(printed, environment, nil, program, "--port="+strconv.Itoa(port)); err != nil {
		return e, err
	}
	line, err := waitFor(port)
	if err != nil {
		return e, err
	}
	line.Close()
	d := &overHTTP{address: fmt.Sprintf("http://127.0.0.1:%d/session", port)}
	e.driver = d
	session, err := e.begin(map[string]any{"pageLoadStrategy": "none", "webkitgtk:browserOptions": map[string]any{
		"binary": browsers[0], "args": []string{"--automation"}}})
	d.address += "/" + url.PathEscape(session)
	e.listen = listen
	e.troubles = func() (list []string, err error) {
		answer, err := d.send(runScript, map[string]any{"script": "return window.troubles ?? []", "args": []any{}})
		if err == nil {
			err = json.Unmarshal(answer, &list)
		}
		return list, err
	}
	return e, err
}

// listen notes in the page what goes wrong there: WebKit's driver has no command for that, and keeps to itself what the
// browser prints. The listener is there before the page has loaded, but what fails in the first moments it can miss.
const listen = `(() => {
	window.troubles = [];
	const note = (text) => { window.troubles.push(text); };
	const before = console.error;
	console.error = (...all) => { note('console: ' + all.join(' ')); before(...all); };
	addEventListener('error', (e) => note('error: ' + (e.message ?? 'could not load ' + (e.target.src ?? e.target.href))), true);
	addEventListener('unhandledrejection', (e) => note('rejected: ' + e.reason));
	document.addEventListener('securitypolicyviolation', (e) => note('content policy: ' + e.effectiveDirective + ' refused ' + e.blockedURI));
	return true;
})()`

// screen starts Xvfb on a display that it chooses itself, and returns its name.
func (e *engine) screen(printed *os.File) (string, error) {
	if _, err := firstProgram("Xvfb"); err != nil {
		return "", err
	}
	told, tells, err := os.Pipe()
	if err != nil {
		return "", err
	}
	defer told.Close()
	err = e.run(printed, nil, []*os.File{tells}, "Xvfb", "-displayfd", "3", "-screen", "0", "1280x1000x24", "-nolisten", "tcp")
	tells.Close()
	if err != nil {
		return "", err
	}
	if err := told.SetReadDeadline(time.Now().Add(answerTime)); err != nil {
		return "", err
	}
	number, err := bufio.NewReader(told).ReadString('\n')
	return ":" + strings.TrimSpace(number), err
}

func firstProgram(names ...string) (string, error) {
	for _, name := range names {
		if file, err := exec.LookPath(name); err == nil {
			return file, nil
		}
	}
	return "", fmt.Errorf("%s was not found", strings.Join(names, " or "))
}
