package site

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"maps"
	"path"
	"slices"
	"strconv"
	"strings"

	"centrode/calc/character"
	"centrode/cmd/centrode/internal/asset"
	"centrode/cmd/centrode/internal/palette"
)

const (
	keeperFile   = "offline-worker.js"
	manifestFile = "manifest.webmanifest"
)

// edition is what the service worker knows of the site: theme/scripts/keeping.js explains the members.
type edition struct {
	Version string              `json:"version"`
	Files   map[string][2]any   `json:"files"`
	Core    []string            `json:"core"`
	Own     map[string][]string `json:"own"`
}

// keptFile is what the service worker must know of a file: the beginning of its hash, and its size on the way.
type keptFile struct {
	hash string
	size int
}

// newKeptFile takes the size of the shortest copy.
func newKeptFile(data []byte, short map[string][]byte) keptFile {
	sum := sha256.Sum256(data)
	k := keptFile{hex.EncodeToString(sum[:8]), len(data)}
	for _, copied := range short {
		k.size = min(k.size, len(copied))
	}
	return k
}

// newEdition lists what can be kept of a site: pages and what they load. Plates for other people's frames are not of it.
func newEdition(files map[string]keptFile) edition {
	e := edition{Files: map[string][2]any{}, Own: map[string][]string{}}
	all := sha256.New()
	own := map[string][]string{}
	for _, name := range slices.Sorted(maps.Keys(files)) {
		if strings.HasPrefix(name, "embed/") || name == "404.html" || name == keeperFile {
			continue
		}
		address := "/" + name
		if path.Base(name) == "index.html" {
			address = strings.TrimSuffix(address, "index.html")
		}
		one := files[name]
		e.Files[address] = [2]any{one.hash, one.size}
		all.Write([]byte(address + " " + one.hash + "\n"))
		if page := ofOnePage(address); page != "" {
			own[page] = append(own[page], address)
		} else if inCore(address) {
			e.Core = append(e.Core, address)
		}
	}
	for page, loads := range own {
		for address := range e.Files {
			if strings.HasSuffix(address, page) { // in every language
				e.Own[address] = loads
			}
		}
	}
	e.Version = hex.EncodeToString(all.Sum(nil)[:8])
	return e
}

// ofOnePage names the page that alone loads a file, "" for all others. The fitting room's engine, what draws there and the character that
// it begins with, and the engine that reads placement sheets, are more than all other pages together: they are kept with their page.
func ofOnePage(address string) string {
	name, isAsset := strings.CutPrefix(address, "/"+asset.Dir+"/")
	switch {
	case address == "/"+character.All()[0].Path():
		return "/fitting-room/"
	case isAsset && (strings.HasPrefix(name, "room") || strings.HasPrefix(name, "ink.") || strings.HasPrefix(name, "plain.")):
		return "/fitting-room/"
	case isAsset && strings.HasPrefix(name, "sheet."):
		return "/sheet/"
	case isAsset && strings.HasPrefix(name, "specimens."):
		return "/specimens/"
	}
	return ""
}

// inCore says what is kept from the first visit on: what every page loads, and where an installed app begins. The search
// is kept once it has been used.
func inCore(address string) bool {
	name, isAsset := strings.CutPrefix(address, "/"+asset.Dir+"/")
	if isAsset {
		return !strings.HasPrefix(name, "search-texts.") && !strings.HasPrefix(name, "licences.")
	}
	return address == "/" || strings.HasSuffix(address, "/offline/") || address == "/"+manifestFile
}

// keeper is the service worker of this edition.
func keeper(script string, files map[string]keptFile) ([]byte, error) {
	told, err := json.Marshal(newEdition(files)) // keys sorted
	if err != nil {
		return nil, err
	}
	return []byte("self.edition=" + string(told) + ";\n" + script), nil
}

// manifest describes the site as an app. Members: Web App Manifest, W3C.
func manifest(address func(string) string, colours palette.Palette) ([]byte, error) {
	type picture struct {
		Src     string `json:"src"`
		Sizes   string `json:"sizes"`
		Type    string `json:"type"`
		Purpose string `json:"purpose"`
	}
	ground := colours["paper"].Light.String()
	icons := []picture{{address("icon.svg"), "any", "image/svg+xml", "any"}}
	for _, size := range asset.IconSizes {
		name := strconv.Itoa(size)
		icons = append(icons, picture{address("icon-" + name + ".png"), name + "x" + name, "image/png", "any maskable"})
	}
	return json.Marshal(struct {
		Name        string    `json:"name"`
		Short       string    `json:"short_name"`
		Description string    `json:"description"`
		Lang        string    `json:"lang"`
		ID          string    `json:"id"`
		Start       string    `json:"start_url"`
		Scope       string    `json:"scope"`
		Display     string    `json:"display"`
		Background  string    `json:"background_color"`
		Theme       string    `json:"theme_color"`
		Icons       []picture `json:"icons"`
	}{"Centrode: where to put the pivots", "Centrode", "A handbook on where to put the pivots of a character, with calculators inside its pages.", "en",
		"/", "/", "/", "standalone", ground, ground, icons})
}
