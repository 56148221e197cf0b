/** Words about one femoral cut that leaves its component. */
export const cutText = {
  cutAlone: 'One cut alone',
  cutAloneHint: 'Choose a femoral cut above to move or turn it by itself, away from the component.',
  departing: (cuts: string) => `Away from the component too: ${cuts}.`,
  handlesMove: 'Handles move',
  wholeComponent: 'Component',
  wholeComponentHint: 'The component with all its cuts',
  thisCutAlone: 'This cut alone',
  thisCutAloneHint: 'Only this cut; the component stays where it is',
  roomUnder: 'Room under the component',
  boneInside: 'Bone into the component',
  notchThere: 'Anterior notch',
} as const
