package gltf

// The limits that keep a hostile file from taking more memory or time than its size explains. An honest character is
// far below each: a surface of a million vertices with four weights has 20 million numbers.
const (
	// maxNumbers bounds the numbers of all accessors together, since each is looked at once and several may share bytes.
	maxNumbers = 1 << 27
	// maxUnbacked bounds the numbers of one accessor that has no bytes of its own (none, or sparse alone).
	maxUnbacked = 1 << 22
	// maxUnbackedAll bounds those of all such accessors together.
	maxUnbackedAll = 1 << 26
	// maxVertices, maxCorners and maxKeys bound what all primitives, and all channels, use together: several may use the same
	// accessor, and who decodes them does so once for each.
	maxVertices = 1 << 24
	maxCorners  = 1 << 26
	maxKeys     = 1 << 26
	// maxMoved bounds the vertices of all morph targets together, which may share accessors too.
	maxMoved = 1 << 26
	// maxChecked bounds the numbers that are looked at together, such as weights in several combinations.
	maxChecked = 1 << 28
	// maxLength bounds positions, shifts and scales: beyond it float32 leaves nothing to see, and products overflow.
	maxLength = 1e12
	// maxSets bounds the sets of four joints a vertex may have.
	maxSets = 4
	// maxTargets bounds the morph targets of a mesh.
	maxTargets = 4096
	// maxBytes bounds a file and each file beside it.
	maxBytes = 1 << 30
)
