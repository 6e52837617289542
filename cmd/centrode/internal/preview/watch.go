package preview

import (
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"centrode/cmd/centrode/internal/lesson"

	"github.com/fsnotify/fsnotify"
)

// watched are the folders whose change asks for a build, and cmd, whose change can only be told of.
var watched = []string{"content", "theme", "calc", "wasm", "cmd"}

// changelog is the one file beside them that pages show.
const changelog = "CHANGELOG.md"

// calm is how long nothing may change before a build starts: an editor writes a file in several steps.
const calm = 150 * time.Millisecond

// watch sends, after each pause in a run of changes under root or the other folder, the changed paths relative to root, until done is
// closed. Folders made later are watched too.
func watch(root, also string, done <-chan struct{}) (<-chan []string, error) {
	w, err := fsnotify.NewWatcher()
	if err != nil {
		return nil, err
	}
	for _, dir := range watched {
		if err := addFolders(w, filepath.Join(root, dir)); err != nil {
			w.Close()
			return nil, err
		}
	}
	if err := w.Add(root); err != nil { // for the file; what else lies there is passed over
		w.Close()
		return nil, err
	}
	if also != "" {
		if also, err = filepath.Abs(also); err == nil {
			also, err = filepath.EvalSymlinks(also) // a walk does not go through the link that it begins at
		}
		if err == nil {
			err = addFolders(w, also)
		}
		if err != nil {
			w.Close()
			return nil, err
		}
	}
	changes := make(chan []string)
	go func() {
		defer w.Close()
		defer close(changes)
		collectChanges(w, root, changes, done)
	}()
	return changes, nil
}

func collectChanges(w *fsnotify.Watcher, root string, changes chan<- []string, done <-chan struct{}) {
	timer := time.NewTimer(time.Hour)
	timer.Stop()
	pending := map[string]bool{}
	for {
		select {
		case event, ok := <-w.Events:
			if !ok {
				return
			}
			rel := event.Name
			if short, err := filepath.Rel(root, rel); err == nil { // there is none to a studio's folder on another drive
				rel = short
			}
			if isElsewhere(rel) {
				continue
			}
			if event.Has(fsnotify.Create) {
				_ = addFolders(w, event.Name) // gone again, or a file: nothing to watch
			}
			if event.Op == fsnotify.Chmod || isScratch(rel) {
				continue
			}
			pending[filepath.ToSlash(rel)] = true
			timer.Reset(calm)
		case <-w.Errors: // an overflow lost events: whatever they were, a build is due
			pending["content"] = true
			timer.Reset(calm)
		case <-timer.C:
			list := make([]string, 0, len(pending))
			for name := range pending {
				list = append(list, name)
			}
			slices.Sort(list)
			clear(pending)
			select {
			case changes <- list:
			case <-done:
				return
			}
		case <-done:
			return
		}
	}
}

// addFolders watches dir and the folders in it. A dir that does not exist, or is a file, is passed over.
func addFolders(w *fsnotify.Watcher, dir string) error {
	return filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
		if os.IsNotExist(err) {
			return nil
		}
		if err != nil {
			return err
		}
		if !d.IsDir() {
			return nil
		}
		if name != dir && (d.Name() == "node_modules" || strings.HasPrefix(d.Name(), ".")) {
			return fs.SkipDir
		}
		return w.Add(name)
	})
}

// isElsewhere recognises what lies in the project's folder itself and is no source, such as the site that a build puts there.
func isElsewhere(rel string) bool {
	return filepath.Base(rel) == rel && rel != changelog && !slices.Contains(watched, rel)
}

// isScratch recognises what editors, version control and systems leave beside the real files.
func isScratch(name string) bool {
	base := filepath.Base(name)
	return strings.Contains(filepath.ToSlash(name), "node_modules") || lesson.IsLeft(base) || strings.HasPrefix(base, "#") ||
		strings.HasSuffix(base, "~") || strings.HasSuffix(base, ".swp") || strings.HasSuffix(base, ".tmp")
}
