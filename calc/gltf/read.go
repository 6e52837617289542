package gltf

import (
	"slices"
	"strings"

	"centrode/calc/jsontree"
	"centrode/calc/spell"
)

// Opener returns the bytes of a file beside the one that is read. name is the relative address, percent escapes
// resolved; what it may reach is for the Opener to decide.
type Opener func(name string) ([]byte, error)

// Read reads a .glb or a .gltf, told apart by the first bytes. Without an Opener a file that needs others is refused.
// The Document keeps parts of data, which must not change afterwards. Errors are *FormatError.
func Read(data []byte, open Opener) (*Document, error) {
	text, bin, extra, err := container(data)
	if err != nil {
		return nil, err
	}
	tree, err := jsontree.Parse(text, jsontree.Limits{})
	if err != nil {
		return nil, &FormatError{"json", err.Error(), ""}
	}
	r := &reader{doc: &Document{root: tree, extra: extra}, root: &place{v: tree}, open: open, bin: bin, memo: map[string]int{}}
	if tree.Kind() != jsontree.Object {
		return nil, &FormatError{"json", tree.Kind().Word(), "is an object"}
	}
	for _, step := range []func(*reader){
		(*reader).asset, (*reader).extensions, (*reader).readBuffers, (*reader).readViews, (*reader).readAccessors, (*reader).readMeshes,
		(*reader).readNodes, (*reader).readSkins, (*reader).readScenes, (*reader).readAnimations, (*reader).bindings, (*reader).finite,
	} {
		if step(r); r.err != nil {
			return nil, r.err
		}
	}
	return r.doc, nil
}

func (r *reader) asset() {
	asset := r.root.member("asset")
	if !r.object(asset) {
		return
	}
	for _, name := range []string{"minVersion", "version"} {
		p := asset.member(name)
		if name == "minVersion" && p.v == nil {
			continue
		}
		version := r.text(p)
		if ok := version == "2.0" || name == "version" && strings.HasPrefix(version, "2."); !ok {
			r.refuse(p, p.given(), `is "2.0"`)
		}
	}
}

// harmless lists the extensions that a file may require and that change nothing of what is read here: they are about
// materials, textures and lights, or, as quantisation does, allow a form of numbers that is understood.
func harmless() []string {
	return []string{"KHR_mesh_quantization", "KHR_texture_transform", "KHR_texture_basisu", "EXT_texture_webp", "EXT_texture_avif",
		"KHR_lights_punctual", "EXT_lights_image_based", "KHR_xmp_json_ld"}
}

// isHarmless reports whether an extension changes nothing of what is read here, and names nothing of it.
func isHarmless(name string) bool {
	return strings.HasPrefix(name, "KHR_materials_") || slices.Contains(harmless(), name)
}

func (r *reader) extensions() {
	list := r.root.member("extensionsRequired")
	for i := range r.size(list) {
		p := list.item(i)
		name := r.text(p)
		if r.err != nil || isHarmless(name) {
			continue
		}
		r.refuse(p, "the file cannot be read without "+short(name)+", which is not understood here", "is a file saved without it"+spell.Offer(name, harmless()))
	}
}
