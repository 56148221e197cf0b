/** How lessons are played and made. */
export const lessonNotes: readonly string[] = [
  'All lessons… lists those of the case and those that come with the program. A lesson plays on the knee that is open, with its numbers; the case comes back at the end.',
  'While it plays: Right, Space or Page down goes on, Left or Page up back, 1 to 8 answers, N shows the speaker notes, J is a pointer, G a pen, Shift G clears, Escape ends.',
  'Record a lesson…: set up stage, view, cuts and pose, then record a step; what differs from the step before is what the step changes. Words may quote any number of the knee.',
  'A step can ask first, or ask for an own cut. An own cut is held against what the case gives without it; tolerance for an angle or a depth is twice the entered standard deviation of the saw.',
  'A lesson is kept with the case or as a file of its own (.floorlesson), and can be written out as one page or as pictures of the knee that is open. Landmarks set by hand are not part of a lesson.',
]
