/** Pictures of the demo knees, drawn by this program from their own meshes. */
const pictures = import.meta.glob('../../../assets/demo/*.png', {
  eager: true,
  query: '?url',
  import: 'default',
}) as Readonly<Record<string, string>>

export function DemoPicture({ id }: { readonly id: string }) {
  const url = pictures[`../../../assets/demo/${id}.png`]
  return url ? <img className="demo-picture" src={url} alt="" /> : <span className="demo-picture" />
}
