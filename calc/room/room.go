// Package room is the engine of the fitting room: one character, posed about its own pivot and about a candidate, measured,
// fitted to its targets and carried into a new file.
//
// Start at Open. Everything a page needs comes as JSON or as bytes of little-endian numbers, in buffers that the Room owns
// and uses again, valid until the next call; Pose is a pure function of the file and an Ask. Centimetres and degrees, in
// the world of the rest pose. A Room serves one caller at a time.
// It draws nothing and keeps no history.
package room

import (
	"encoding/binary"
	"errors"
	"math"
	"strings"

	"centrode/calc/affine"
	"centrode/calc/body"
	"centrode/calc/gltf"
	"centrode/calc/propose"
	"centrode/calc/rigid"
	"centrode/calc/skin"
)

// File is a file that was dropped.
type File struct {
	Name string
	Data []byte
}

// Room is one character in work.
type Room struct {
	body    *body.Body
	surface *skin.Surface
	shader  *skin.Shader
	trial   *skin.Influences // made when first asked for

	posing *skin.Posing
	trialP bool // what posing was made for
	passes int

	ask     Ask
	locals  []affine.Map
	worlds  [2][]affine.Map // of the current placement and of the candidate
	motions []float32
	views   [2]view
	fold    fold
	found   *propose.Proposal // the latest, from those targets
	targets []string
	normals []float32
	joints  []float32
	bytes   []byte
}

// view is one posed surface.
type view struct {
	positions                  []float32
	positionBytes, normalBytes []byte
	shaded                     bool       // the bytes are those of positions
	turn                       affine.Map // the joint's motion in its parent's frame
	pivot                      rigid.Vec  // at rest, in the parent's frame
}

// Open reads a character from the files that were dropped: the first that ends in .glb or .gltf, which may ask for the
// others by name.
func Open(files []File) (*Room, error) {
	name, doc, err := read(files)
	if err != nil {
		return nil, err
	}
	b, err := body.New(name, doc)
	if err == nil {
		err = b.Surfaced()
	}
	if err != nil {
		return nil, err
	}
	r := &Room{body: b, ask: Ask{Joint: -1}}
	if r.surface, err = skin.New(b.Positions, b.Triangles, b.Held, b.Normals); err != nil {
		return nil, err
	}
	r.shader = skin.NewShader(r.surface)
	r.normals, r.locals = make([]float32, len(b.Positions)), b.Locals()
	for i := range r.views {
		r.worlds[i] = b.Locals()
		r.views[i].positions = make([]float32, len(b.Positions))
	}
	return r, nil
}

// read finds the character among the files.
func read(files []File) (string, *gltf.Document, error) {
	for _, f := range files {
		lower := strings.ToLower(f.Name)
		if !strings.HasSuffix(lower, ".glb") && !strings.HasSuffix(lower, ".gltf") {
			continue
		}
		doc, err := gltf.Read(f.Data, func(uri string) ([]byte, error) {
			for _, other := range files {
				if base(other.Name) == base(uri) {
					return other.Data, nil
				}
			}
			return nil, errors.New(uri + ": is not among the files; drop it together with " + f.Name)
		})
		if err != nil {
			return "", nil, errors.New(f.Name + ": " + err.Error())
		}
		return f.Name, doc, nil
	}
	return "", nil, errors.New("drop a file whose name ends in .glb or .gltf; a .gltf together with the files that it names")
}

func base(name string) string {
	name = name[strings.LastIndexAny(name, `/\`)+1:]
	return strings.ReplaceAll(name, "%20", " ")
}

// AddTarget makes a second file, the same character sculpted in a pose, one of the targets.
func (r *Room) AddTarget(files []File) error {
	name, doc, err := read(files)
	if err != nil {
		return err
	}
	return r.body.AddTarget(name, doc)
}

// Triangles are three vertices each, as 32-bit whole numbers.
func (r *Room) Triangles() []byte {
	list := make([]byte, 0, 4*len(r.body.Triangles))
	for _, v := range r.body.Triangles {
		list = binary.LittleEndian.AppendUint32(list, v)
	}
	return list
}

// Surface returns what Pose has posed, as 32-bit numbers: three coordinates a vertex, and its unit normal. fresh is false when they are what an
// earlier call gave already, as the current surface is while a hand drags the candidate.
func (r *Room) Surface(candidate bool) (positions, normals []byte, fresh bool) {
	v := r.view(candidate)
	if fresh = !v.shaded; fresh {
		r.shader.Normals(r.normals, v.positions)
		v.positionBytes, v.normalBytes = appended(v.positionBytes[:0], v.positions), appended(v.normalBytes[:0], r.normals)
		v.shaded = true
	}
	return v.positionBytes, v.normalBytes, fresh
}

// appended appends numbers as a page's typed arrays hold them.
func appended(to []byte, from []float32) []byte {
	for _, x := range from {
		to = binary.LittleEndian.AppendUint32(to, math.Float32bits(x))
	}
	return to
}

func (r *Room) view(candidate bool) *view {
	if candidate && r.ask.Candidate {
		return &r.views[1]
	}
	return &r.views[0]
}

// JointsPosed returns where the joints stand, three coordinates each; the joint that was asked about stands at its pivot.
func (r *Room) JointsPosed(candidate bool) []byte {
	worlds := r.worlds[0]
	if candidate && r.ask.Candidate {
		worlds = r.worlds[1]
	}
	r.joints = r.joints[:0]
	for i := range r.body.Joints {
		at := worlds[i].T
		if candidate && r.ask.Candidate && i == r.ask.Joint {
			at = r.posedPivot(&r.views[1])
		}
		r.joints = append(r.joints, float32(at.X), float32(at.Y), float32(at.Z))
	}
	r.bytes = appended(r.bytes[:0], r.joints)
	return r.bytes
}
